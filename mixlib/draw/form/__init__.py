"""Pictures of the form: what has one got, which number is meant, what is plugged in where."""
