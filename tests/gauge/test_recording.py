"""Recordings as telephones write them, and bytes that are none."""

from __future__ import annotations

import numpy as np
import pytest

from rafterstay.core.errors import InputError
from rafterstay.gauge import by_pluck, load
from rafterstay.gauge.recording import LARGEST_FILE
from tests.gauge.stiff_rope import RATE, recording

TOLD = {"span": 0.9144, "mass": 0.1637, "diameter": 0.00635, "strength": 31137.0}
CODECS = {
    "wav": ("pcm_s16le", "wav", 8000, None),
    "m4a": ("aac", "mp4", 16000, 24000),
    "3gp": ("aac", "3gp", 16000, 24000),
    "webm": ("libopus", "webm", 16000, 12000),
    "ogg": ("libopus", "ogg", 16000, 12000),
    "mp3": ("libmp3lame", "mp3", 16000, 24000),
}


def written(path, samples, kind, gain=1.0):
    """Write samples with a codec, and give the path."""
    import av

    codec, container, rate, bits = CODECS[kind]
    repeated = np.repeat(samples, rate // RATE) if rate != RATE else samples
    loud = (np.clip(gain * repeated, -1, 1) * 32767).astype(np.int16)
    with av.open(str(path), "w", format=container) as file:
        stream = file.add_stream(codec, rate=rate, layout="mono")
        if bits:
            stream.bit_rate = bits
        resampler = av.AudioResampler(format=stream.format, layout="mono", rate=rate)
        for start in range(0, len(loud), 960):
            frame = av.AudioFrame.from_ndarray(
                loud[None, start : start + 960], format="s16", layout="mono"
            )
            frame.rate, frame.pts = rate, start
            for part in resampler.resample(frame):
                file.mux(stream.encode(part))
        file.mux(stream.encode(None))
    return path


@pytest.fixture(scope="module")
def rope():
    rng = np.random.default_rng(11)
    return recording(rng, pull=2215.0, mass=0.1637, bending=0.6, span=0.9144, noise=0.005)


@pytest.mark.parametrize("kind", CODECS)
def test_every_kind_of_file_gives_the_pull(tmp_path, rope, kind):
    sound = load(written(tmp_path / f"leg.{kind}", rope, kind))
    assert sound.rate == RATE
    assert len(sound.samples) == pytest.approx(len(rope), rel=0.03)
    found = by_pluck(sound, **TOLD)
    assert found.pull == pytest.approx(2215.0, rel=0.03)
    assert abs(found.pull - 2215.0) < 2 * found.sigma


def test_a_recording_that_is_cut_off_is_refused(tmp_path, rope):
    sound = load(written(tmp_path / "loud.wav", rope, "wav", gain=6.0))
    assert "cut off" in by_pluck(sound, **TOLD).refused
    assert load(written(tmp_path / "soft.wav", rope, "wav")).clipped == 0.0


def refused(path, **more):
    with pytest.raises(InputError) as told:
        load(path, **more)
    return told.value.findings[0].code


def test_bytes_that_are_no_recording_get_a_named_error(tmp_path, rope):
    rng = np.random.default_rng(5)
    whole = written(tmp_path / "whole.m4a", rope, "m4a").read_bytes()
    cases = [b"", b"RIFF", b"RIFF" + bytes(400), rng.bytes(5000), b"#EXTM3U\n/etc/hostname\n"]
    cases += [whole[:300], whole[: len(whole) // 2]]
    for k, data in enumerate(cases):
        path = tmp_path / f"odd{k}.m4a"
        path.write_bytes(data)
        assert refused(path) in {"GA-003", "GA-005"}


def test_what_cannot_be_read_or_is_too_much_is_refused(tmp_path, rope):
    assert refused(tmp_path / "none.wav") == "GA-001"
    assert refused(tmp_path) == "GA-001"
    large = tmp_path / "large.wav"
    with large.open("wb") as file:
        file.truncate(LARGEST_FILE + 1)
    assert refused(large) == "GA-002"
    long = written(tmp_path / "long.mp3", np.zeros(620 * RATE), "mp3")
    assert refused(long) == "GA-004"
    path = written(tmp_path / "rope.wav", rope, "wav")
    assert refused(path, patience=0.01) == "GA-005"
