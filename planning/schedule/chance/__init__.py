"""How likely a plan holds: its order of work run through many times with drawn labour, waits and air."""
