"""Parts of the tests of the working: requests, the grammar of expressions, and a second route."""
