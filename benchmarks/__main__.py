"""All benchmarks, one table after another: ``python -m benchmarks``."""

from __future__ import annotations

from benchmarks import page, sizing, statics, survey, tuning

__all__: list[str] = []


def main() -> None:
    for part in (statics, survey, sizing, tuning, page):
        part.main()


if __name__ == "__main__":
    main()
