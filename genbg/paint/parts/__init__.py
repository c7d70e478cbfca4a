"""What painters draw their layers from: walls, roofs, trees, rocks, boats. One thing a file.

A part belongs to one painter or to several; what every painter needs lies in the folder above.
"""
