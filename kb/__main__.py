"""`python -m kb` is `oddfix`."""

from kb.cli.main import main

if __name__ == "__main__":
    main()
