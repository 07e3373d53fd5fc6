"""Reports as letters, and sending them."""
