"""Modbus RTU: registers become readings."""
