"""What the command ``thriftloom`` can do, one module for each verb.

Each module has ``add(commands)``, which adds its own parser to the command's and sets ``run``: a function
that takes the arguments and gives the exit code. It may raise ``Refusal`` or ``StoreUnavailable``; the
command says why in plain sentences and ends with 2.
"""
