"""The parts of the sample fleet's generator; `generate.py` in the folder above runs them."""
