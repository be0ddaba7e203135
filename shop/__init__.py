"""Thriftloom: planning, reckoning and quoting hand-woven rag rugs. Imports nothing."""

__version__ = "0.1.0"
