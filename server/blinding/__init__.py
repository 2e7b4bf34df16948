"""Codes, serving orders, cups to brew slots, the seal and the chain of events."""
