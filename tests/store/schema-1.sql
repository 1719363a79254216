PRAGMA application_id=1380340569;
PRAGMA user_version=1;
BEGIN TRANSACTION;
CREATE TABLE outcomes (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  revision INTEGER NOT NULL UNIQUE REFERENCES revisions (id),
  outcome TEXT NOT NULL
    CONSTRAINT "outcome must be placed or set aside"
    CHECK (outcome IN ('placed', 'set aside')),
  seal TEXT NOT NULL
) STRICT;
INSERT INTO "outcomes" VALUES(1,'2026-03-14T15:09:26.535Z',1,'placed','ca432dcc346da744e0dd2768620f3586c82400f6eb218207de25fdc353f4951d');
INSERT INTO "outcomes" VALUES(2,'2026-03-14T15:09:26.535Z',2,'placed','7066c42253a1a32a12025aa9c19e91309d53a39cdc610fc24f00b2e98aa97d48');
CREATE TABLE press_log (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES press_log (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  leg INTEGER CONSTRAINT "leg must be 1 or more, or left out" CHECK (leg >= 1),
  eye TEXT NOT NULL,
  reel TEXT NOT NULL,
  sleeve TEXT NOT NULL,
  tool TEXT NOT NULL,
  presses INTEGER NOT NULL CONSTRAINT "presses must be 1 or more" CHECK (presses >= 1),
  press_order TEXT NOT NULL,
  tail_before_m REAL CONSTRAINT "tail_before_m must be 0 or more" CHECK (tail_before_m >= 0),
  tail_after_m REAL CONSTRAINT "tail_after_m must be 0 or more" CHECK (tail_after_m >= 0),
  gauge TEXT NOT NULL
    CONSTRAINT "gauge must be passed, failed or not gauged"
    CHECK (gauge IN ('passed', 'failed', 'not gauged'))
) STRICT;
INSERT INTO "press_log" VALUES(1,'2026-03-14T15:09:26.535Z','Ida','2026-03-14',2,NULL,0,'','','2f6b99fe81281fa7f6436cbc8a82a3886b9ce6d7a61660f487d261b2c8ad5e76',4,'ring end','B-17','copper oval 1/4 in','bench press',3,'middle, loop, tail',0.031,0.0127,'not gauged');
CREATE TABLE proof_pulls (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES proof_pulls (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  leg INTEGER CONSTRAINT "leg must be 1 or more, or left out" CHECK (leg >= 1),
  part TEXT NOT NULL,
  tool TEXT NOT NULL,
  pull_N REAL NOT NULL CONSTRAINT "pull_N must be above 0" CHECK (pull_N > 0),
  held_s REAL NOT NULL CONSTRAINT "held_s must be 0 or more" CHECK (held_s >= 0),
  result TEXT NOT NULL
    CONSTRAINT "result must be held, slipped or broke"
    CHECK (result IN ('held', 'slipped', 'broke'))
) STRICT;
CREATE TABLE revisions (
  id INTEGER PRIMARY KEY,
  parent INTEGER REFERENCES revisions (id),
  at TEXT NOT NULL,
  kind TEXT NOT NULL
    CONSTRAINT "kind must be save, outside, undo or restore"
    CHECK (kind IN ('save', 'outside', 'undo', 'restore')),
  source INTEGER REFERENCES revisions (id),
  note TEXT NOT NULL,
  fingerprint TEXT NOT NULL,
  seal TEXT NOT NULL,
  body BLOB NOT NULL
) STRICT;
INSERT INTO "revisions" VALUES(1,NULL,'2026-03-14T15:09:26.535Z','save',NULL,'new','226362a168e2ab301a54965fda6465c0d4fecd5701420b9ecfe37a4d92422c31','88c369674b464dff9c89f4d33c7775d6dfa706530775a165f1295464ab873022',X'7469746C65203D2022436964657220686F757365220A72697365203D202237206674220A');
INSERT INTO "revisions" VALUES(2,1,'2026-03-14T15:09:26.535Z','save',NULL,'steeper','214b38f89e917b0352a48a50f7ef0d76eee3abf582954ee4e2092c5735af73fa','23d200e76bfe12596fd77876ff2d1458a03cfcff9a4cba51a635aca507280229',X'7469746C65203D2022436964657220686F757365220A72697365203D202237206674220A2320737465657065720A');
CREATE TABLE survey_readings (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES survey_readings (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  batch TEXT NOT NULL,
  from_point TEXT NOT NULL,
  to_point TEXT NOT NULL,
  kind TEXT NOT NULL
    CONSTRAINT "kind must be level, slope or height" CHECK (kind IN ('level', 'slope', 'height')),
  value_m REAL NOT NULL,
  sigma_m REAL NOT NULL CONSTRAINT "sigma_m must be above 0" CHECK (sigma_m > 0),
  written TEXT NOT NULL
) STRICT;
CREATE TABLE tension_readings (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES tension_readings (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  what TEXT NOT NULL
    CONSTRAINT "what must be pull, corner, side, offset, level, opening or temperature"
    CHECK (what IN ('pull', 'corner', 'side', 'offset', 'level', 'opening', 'temperature')),
  place TEXT NOT NULL,
  value REAL NOT NULL,
  sigma REAL NOT NULL CONSTRAINT "sigma must be above 0" CHECK (sigma > 0),
  unit TEXT NOT NULL
    CONSTRAINT "unit must be N for a pull, rad for a corner, degC for a temperature, else m"
    CHECK (unit = CASE what WHEN 'pull' THEN 'N' WHEN 'corner' THEN 'rad'
      WHEN 'temperature' THEN 'degC' ELSE 'm' END),
  method TEXT NOT NULL,
  air_degC REAL,
  written TEXT NOT NULL
) STRICT;
CREATE TRIGGER revisions_keep_values BEFORE UPDATE ON revisions BEGIN SELECT RAISE(ABORT, 'revisions: entries are never edited or deleted'); END;
CREATE TRIGGER revisions_keep_rows BEFORE DELETE ON revisions BEGIN SELECT RAISE(ABORT, 'revisions: entries are never edited or deleted'); END;
CREATE TRIGGER revisions_keep_places BEFORE INSERT ON revisions WHEN EXISTS (SELECT 1 FROM revisions WHERE id = NEW.id OR id = NEW.id) BEGIN SELECT RAISE(ABORT, 'revisions: entries are never edited or deleted'); END;
CREATE TRIGGER outcomes_keep_values BEFORE UPDATE ON outcomes BEGIN SELECT RAISE(ABORT, 'outcomes: entries are never edited or deleted'); END;
CREATE TRIGGER outcomes_keep_rows BEFORE DELETE ON outcomes BEGIN SELECT RAISE(ABORT, 'outcomes: entries are never edited or deleted'); END;
CREATE TRIGGER outcomes_keep_places BEFORE INSERT ON outcomes WHEN EXISTS (SELECT 1 FROM outcomes WHERE id = NEW.id OR revision = NEW.revision) BEGIN SELECT RAISE(ABORT, 'outcomes: entries are never edited or deleted'); END;
CREATE TRIGGER survey_readings_keep_values BEFORE UPDATE ON survey_readings BEGIN SELECT RAISE(ABORT, 'survey_readings: entries are never edited or deleted'); END;
CREATE TRIGGER survey_readings_keep_rows BEFORE DELETE ON survey_readings BEGIN SELECT RAISE(ABORT, 'survey_readings: entries are never edited or deleted'); END;
CREATE TRIGGER survey_readings_keep_places BEFORE INSERT ON survey_readings WHEN EXISTS (SELECT 1 FROM survey_readings WHERE id = NEW.id OR corrects = NEW.corrects) BEGIN SELECT RAISE(ABORT, 'survey_readings: entries are never edited or deleted'); END;
CREATE TRIGGER press_log_keep_values BEFORE UPDATE ON press_log BEGIN SELECT RAISE(ABORT, 'press_log: entries are never edited or deleted'); END;
CREATE TRIGGER press_log_keep_rows BEFORE DELETE ON press_log BEGIN SELECT RAISE(ABORT, 'press_log: entries are never edited or deleted'); END;
CREATE TRIGGER press_log_keep_places BEFORE INSERT ON press_log WHEN EXISTS (SELECT 1 FROM press_log WHERE id = NEW.id OR corrects = NEW.corrects) BEGIN SELECT RAISE(ABORT, 'press_log: entries are never edited or deleted'); END;
CREATE TRIGGER proof_pulls_keep_values BEFORE UPDATE ON proof_pulls BEGIN SELECT RAISE(ABORT, 'proof_pulls: entries are never edited or deleted'); END;
CREATE TRIGGER proof_pulls_keep_rows BEFORE DELETE ON proof_pulls BEGIN SELECT RAISE(ABORT, 'proof_pulls: entries are never edited or deleted'); END;
CREATE TRIGGER proof_pulls_keep_places BEFORE INSERT ON proof_pulls WHEN EXISTS (SELECT 1 FROM proof_pulls WHERE id = NEW.id OR corrects = NEW.corrects) BEGIN SELECT RAISE(ABORT, 'proof_pulls: entries are never edited or deleted'); END;
CREATE TRIGGER tension_readings_keep_values BEFORE UPDATE ON tension_readings BEGIN SELECT RAISE(ABORT, 'tension_readings: entries are never edited or deleted'); END;
CREATE TRIGGER tension_readings_keep_rows BEFORE DELETE ON tension_readings BEGIN SELECT RAISE(ABORT, 'tension_readings: entries are never edited or deleted'); END;
CREATE TRIGGER tension_readings_keep_places BEFORE INSERT ON tension_readings WHEN EXISTS (SELECT 1 FROM tension_readings WHERE id = NEW.id OR corrects = NEW.corrects) BEGIN SELECT RAISE(ABORT, 'tension_readings: entries are never edited or deleted'); END;
COMMIT;
