"""What the planned work takes, and what to buy."""
