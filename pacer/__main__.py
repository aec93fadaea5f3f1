"""`python -m pacer`: the same as the `pacer` command."""

from pacer.cli.main import main

if __name__ == "__main__":
    raise SystemExit(main())
