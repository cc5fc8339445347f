"""The form in which a reader describes a model."""
