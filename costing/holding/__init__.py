"""Food out of temperature control: rules as data, their clocks, and what each says of a container.

Nothing here shows that food may be eaten; a status says how a log compares with a published rule.
"""
