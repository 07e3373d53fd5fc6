"""Files of the fleet folder to typed rows and problems, each with its file and line."""
