"""Is FILE valid under docs/schema/NAME.json? A .jsonl file is checked line by line. Prints what is not."""
import json
import pathlib
import sys

import jsonschema

name, file = sys.argv[1:]
schema = json.loads((pathlib.Path(__file__).parents[2] / "docs/schema" / f"{name}.json").read_text())
jsonschema.Draft202012Validator.check_schema(schema)
validator = jsonschema.Draft202012Validator(schema)
text = pathlib.Path(file).read_text()
documents = text.splitlines() if file.endswith(".jsonl") else [text]
wrong = [error.message for document in documents for error in validator.iter_errors(json.loads(document))]
print("\n".join(wrong))
sys.exit(1 if wrong or not documents else 0)
