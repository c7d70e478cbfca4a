"""The name that some painters still call a frozen dataclass by."""

from dataclasses import dataclass as record

__all__ = ["record"]
