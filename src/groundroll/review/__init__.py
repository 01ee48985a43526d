"""After the flight: recordings to events, forces, friction and the ledger of metres; one landing or a fleet."""
