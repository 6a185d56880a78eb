"""The header that says which version of the service has answered.

No standard names one. It has the service's own name, so that it is not taken for that of a proxy or of a
framework. Every answer of the API has it, problems too. Files of the page do without: each byte there is paid
for on a phone, and they say nothing that depends on the version of the contract.
"""

from scaldloaf import __version__

NAME = "Scaldloaf-Version"
HEADER = (NAME, __version__)
