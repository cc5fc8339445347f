"""Live panels: controls, a picture and a sentence that follow each other."""
