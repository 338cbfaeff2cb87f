"""The sentence of each message code, in English, by the room of the engine that says it."""
