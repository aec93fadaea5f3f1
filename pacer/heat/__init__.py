"""Physics: pure functions on SI floats and degrees Celsius; the forecasts."""
