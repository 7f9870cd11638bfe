"""The command line: one module for each command, each loaded only when it is called.

Public name: `main.main`. `powergood --help` reads nothing but click, so that it answers at once.
"""
