"""The arithmetic of a rag-rug studio: values in, frozen values out.

No clock, chance, disk, network, database, request or language. Each room may import only the
rooms named before it in the list of rooms in DEVELOPERS.md; ``tests/test_layout.py`` holds it so.
"""
