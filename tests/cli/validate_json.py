"""Validates a JSON file against a JSON Schema with the jsonschema library. Usage: validate_json.py SCHEMA FILE"""
import json
import sys

import jsonschema

with open(sys.argv[1], encoding="utf-8") as schema, open(sys.argv[2], encoding="utf-8") as data:
    rules = json.load(schema)
    jsonschema.Draft202012Validator.check_schema(rules)
    jsonschema.Draft202012Validator(rules).validate(json.load(data))
