"""Costing for food cooked on camera."""
