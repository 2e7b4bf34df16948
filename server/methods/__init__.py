"""Test methods as plug-ins: one file each, listed in registry.py."""
