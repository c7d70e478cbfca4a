"""Families of built things by region, put together from solids: houses, towers, lamps, boats.

Each family is a table of names and builders. A builder takes a stage, dice of its own, a frame and
the materials to build in, and is drawn with whatever light the painter has.
"""
