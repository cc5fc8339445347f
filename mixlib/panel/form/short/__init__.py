"""The short form without its face: what is asked, what is usual, the set-up that comes of it, and back."""
