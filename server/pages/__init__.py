"""Screens: one module a screen, rendering, forms and dependencies."""
