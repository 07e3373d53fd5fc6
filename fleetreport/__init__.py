"""The weekly maintenance report of a fleet: what is due and why, from odometer exports and service histories."""

import os

# openpyxl writes other bytes with lxml than without; it looks once, when it is first imported.
os.environ["OPENPYXL_LXML"] = "False"

__version__ = "0.1.0"
