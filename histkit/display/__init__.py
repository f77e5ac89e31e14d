"""Rendering: pictures for the screen, web pages, workbooks, the text under a video. It imports the core; the core does not
import it, except where a noun is asked to draw itself. Nothing here computes anything about a formula.
"""
