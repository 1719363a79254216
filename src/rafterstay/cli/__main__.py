"""``python -m rafterstay.cli``."""

from rafterstay.cli.program import main

__all__: list[str] = []

if __name__ == "__main__":
    main()
