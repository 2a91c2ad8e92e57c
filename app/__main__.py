"""`python -m app`: the same as `spanbook`."""

from app.cli import main

if __name__ == "__main__":
    main(prog_name="spanbook")
