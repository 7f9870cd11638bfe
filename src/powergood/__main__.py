"""Run the command line with `python -m powergood`."""

from powergood.cli.main import main

if __name__ == "__main__":
    main()
