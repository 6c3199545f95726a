"""Fasteners: torque, wrenches and their limits."""
