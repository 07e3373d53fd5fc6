"""The weekly maintenance report of a fleet: what is due and why, from odometer exports and service histories."""

__version__ = "0.1.0"
