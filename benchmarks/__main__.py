"""All benchmarks, one table after another: ``python -m benchmarks``."""

from __future__ import annotations

from benchmarks import page, statics, survey

__all__: list[str] = []


def main() -> None:
    for part in (statics, survey, page):
        part.main()


if __name__ == "__main__":
    main()
