"""Every request, a marshmallow Schema class each: its document, its check and the words of its refusals.

The replies are in ``replies``, apart, because only the document and the tests need them.
"""
