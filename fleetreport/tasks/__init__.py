"""Which task a line of a service history tells of."""
