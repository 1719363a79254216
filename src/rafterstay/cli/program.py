"""``rafterstay``: which commands there are, and how each ends."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from difflib import get_close_matches
from typing import Any, Final, NoReturn

import click

from rafterstay import __version__
from rafterstay.cli.check import check
from rafterstay.cli.compare import compare
from rafterstay.cli.contract import LATER, Exit, error_document, findings_of
from rafterstay.cli.cut import cut
from rafterstay.cli.demo import demo
from rafterstay.cli.gauge import gauge
from rafterstay.cli.new import new
from rafterstay.cli.open import open_page
from rafterstay.cli.output import prepare_streams, write_document
from rafterstay.cli.packet import packet
from rafterstay.cli.parts import parts
from rafterstay.cli.sheets import sheets
from rafterstay.cli.size import size
from rafterstay.cli.store import store
from rafterstay.cli.survey import survey
from rafterstay.cli.tune import tune
from rafterstay.core.errors import Finding, InputError
from rafterstay.sheets.literal import printable

__all__ = ["Program", "main", "program"]

_CONTEXT: Final = {"help_option_names": ["-h", "--help"], "max_content_width": 80}
_NOT_YET: Final = f"Still to come, and refused by name: {', '.join(LATER)}."


class Program(click.Group):
    """A group of commands whose every ending is an exit code and, if asked, one document."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find a command, or refuse it with the reason or the nearest name."""
        name = args[0]
        if name in LATER:
            raise InputError(
                Finding(
                    "CL-002",
                    key=f"the command `{name}`",
                    bound="one that this version serves",
                    remedy=f"It is still to come. Served today: {', '.join(self.commands)}.",
                )
            )
        if name not in self.commands and not name.startswith("-"):
            near = get_close_matches(name, [*self.commands, *LATER], n=1)
            meant = f" Did you mean {near[0]}?" if near else ""
            ctx.fail(f"There is no command {name!r}.{meant}")
        return super().resolve_command(ctx, args)

    def main(self, args: Sequence[str] | None = None, *_: Any, **more: Any) -> NoReturn:
        """Run what was typed and leave with its exit code."""
        # The systems are small: more threads of linear algebra than one only wait for each other.
        os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
        typed = list(sys.argv[1:] if args is None else args)
        prepare_streams()
        sys.exit(int(self._run(typed, more.get("obj"))))

    def _run(self, typed: list[str], obj: Any) -> Exit:
        try:
            code = super().main(typed, "rafterstay", standalone_mode=False, obj=obj)
            return Exit(code or 0)
        except click.exceptions.NoArgsIsHelpError as asked:
            click.echo(asked.ctx.get_help())
            return Exit.REFUSED
        except (Exception, KeyboardInterrupt) as error:  # noqa: BLE001 - the last fence
            return self._tell(typed, error)

    def _tell(self, typed: list[str], error: BaseException) -> Exit:
        """Say what ended a command: one document, or a line a finding."""
        code, findings = findings_of(error)
        options = typed[: typed.index("--")] if "--" in typed else typed
        if "--json" in options:
            known = (*self.commands, *LATER)
            command = next((word for word in options if word in known), None)
            try:
                write_document(error_document(command, findings))
            except OSError as fault:
                code, findings = findings_of(fault)
            else:
                return code
        for found in findings:
            click.echo(printable(str(found)), err=True)
        return code


@click.group(cls=Program, context_settings=_CONTEXT, epilog=_NOT_YET)
@click.version_option(__version__, prog_name="rafterstay", message="%(prog)s %(version)s")
def program() -> None:
    """Rope ties that keep rafters from spreading.

    Write a job with `new`, edit it, and read with `check` how hard every leg pulls, which part
    is the weakest and whether it is enough.

    Exit codes: 0 passes; 1 a check fails or an engineer must decide; 2 bad input or usage; 3
    nothing holds the load; 4 a fault of the program; 130 interrupted.
    """


_COMMANDS = (
    new,
    parts,
    check,
    size,
    compare,
    cut,
    sheets,
    packet,
    demo,
    store,
    survey,
    gauge,
    tune,
    open_page,
)
for _command in _COMMANDS:
    program.add_command(_command)


def main() -> NoReturn:
    """Run the command line."""
    program.main()
