"""Puts this folder on the import path, so that tests in the folders below find its checks."""
