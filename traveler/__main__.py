"""``python -m traveler``: the same as the command ``traveler``."""

from traveler.cli.main import main

if __name__ == "__main__":
    main()
