"""Pieces that JSON Schemas are put together from; each carries its description."""

from __future__ import annotations


def object_of(description: str, properties: dict, required: bool = True) -> dict:
    """An object with these keys and no other; all of them there unless said otherwise."""
    schema = {"type": "object", "description": description, "properties": properties, "additionalProperties": False}
    return {**schema, "required": list(properties)} if required else schema


def number(description: str) -> dict:
    """A number."""
    return {"type": "number", "description": description}


def text(description: str) -> dict:
    """Text."""
    return {"type": "string", "description": description}


def boolean(description: str) -> dict:
    """Yes or no."""
    return {"type": "boolean", "description": description}


def enum(words, description: str) -> dict:
    """One of some words."""
    return {"enum": list(words), "description": description}


def const(value, description: str) -> dict:
    """One value."""
    return {"const": value, "description": description}


def list_of(items: dict, description: str) -> dict:
    """A list of things that are alike."""
    return {"type": "array", "items": items, "description": description}


def or_null(schema: dict, when: str) -> dict:
    """The same, or null when something is so."""
    description = f"{schema.get('description', '')}; null {when}"
    inner = {key: value for key, value in schema.items() if key != "description"}
    return {"anyOf": [inner, {"type": "null"}], "description": description}
