"""The words of the reports, language by language."""
