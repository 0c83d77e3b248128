"""The commands and what each is for; the modules themselves are loaded only when used."""

from __future__ import annotations

COMMANDS = {
    "plan": "plan a trip: dry stretches, litres needed, one offline page",
    "desk": "open a folder of a trip in the browser of this computer",
    "compare": "compare routes, directions, days and trips: can it be done, and when",
    "tally": "write down what is left on the way, and see the true rates",
    "new-trip": "write a commented trip file to fill in",
    "trip-schema": "print the JSON Schema of the trip file, for editors",
    "mark": "mark a new source in the water book",
    "visit": "write down what was found at a source",
    "retire": "stop counting a source, keeping what is known of it",
    "bring": "bring another layer or recorded waypoints into the water book",
    "sources": "list the sources of a water book",
}


def module_of(command: str) -> str:
    """Return the full name of the module that runs ``command``."""
    return f"longdry.cli.commands.{command.replace('-', '_')}"
