"""`python -m fleetreport`: the same as the `fleetreport` command."""

from fleetreport.cli import main

if __name__ == "__main__":
    main()
