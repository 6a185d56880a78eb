"""What the tests of the working are made of: bodies, the grammar of expressions, and a second route."""
