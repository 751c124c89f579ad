"""From recorded times to estimates and forecasts. Pure."""
