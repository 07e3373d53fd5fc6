"""Reports as workbooks."""
