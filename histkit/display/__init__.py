"""How plain descriptions (`base.descriptions`, `base.grid`) look as frames, printed pages, HTML, Markdown and workbooks.

It knows no room but `base` and no noun, and computes nothing about a formula.
"""
