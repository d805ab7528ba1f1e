"""Forms: one spec each, from which a form is drawn, read, written and its fields are named."""
