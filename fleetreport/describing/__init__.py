"""What a file from elsewhere holds, and the section that would read it."""
