"""What was found when the work was done."""
