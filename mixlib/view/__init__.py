"""The faces: what is drawn, the panels that move it, the questions, and the printed sheets.

Nothing here computes physics; every module takes results and shows them.
"""
