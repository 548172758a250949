"""Writes the software bill of materials of a build: SPDX 2.3, JSON. What it is made of is read from the program
itself (libraries), from dpkg (versions) and from the packages' own copyright files (licences). With --key an SSH key
signs it (signature beside it, FILE.sig, namespace `scrapetrace-bill`); without, it says that it is not signed."""
import argparse
import datetime
import hashlib
import json
import os
import pathlib
import re
import subprocess
import sys
import tomllib

sys.dont_write_bytecode = True
import debian

HEADERS = {  # used as headers alone: package by one of its files
    "/usr/include/eigen3/Eigen/Core", "/usr/include/boost/version.hpp", "/usr/include/nlohmann/json.hpp",
}
TOOLS = ["cmake", "g++"]
PRODUCT = "SPDXRef-scrapetrace"
NAMESPACE = "scrapetrace-bill"


def digest(path, kind):
    return hashlib.new(kind, path.read_bytes()).hexdigest()


def reference(package):
    return "SPDXRef-Package-" + re.sub(r"[^A-Za-z0-9.-]", lambda found: f"-x{ord(found[0]):X}", package)


def made_at():
    """SOURCE_DATE_EPOCH as reproducible-builds.org has it, else now."""
    seconds = os.environ.get("SOURCE_DATE_EPOCH")
    moment = datetime.datetime.now(datetime.timezone.utc)
    if seconds:
        moment = datetime.datetime.fromtimestamp(int(seconds), datetime.timezone.utc)
    return moment.strftime("%Y-%m-%dT%H:%M:%SZ")


def licence_fields(package, table):
    """What is declared, and where that was read. The table is believed only where the copyright file bears it out."""
    source = f"/usr/share/doc/{package}/copyright"
    if package in table:
        entry = table[package]
        if not re.search(entry["says"], debian.copyright_text(package)):
            raise debian.BillError(f"{source} does not say {entry['says']!r}: look, and mend licences.toml")
        return entry["licence"], f"Checked against {source}."
    expression, words = debian.declared(package)
    if expression:
        return expression, f"Of most files, by {source}."
    if words:
        return "NOASSERTION", f"{source} says {words!r} of most files."
    return "NOASSERTION", f"In words only: {source}."


def dependency(package, facts, table):
    declared, comment = licence_fields(package, table)
    locator = f"pkg:deb/debian/{package.replace('+', '%2B')}@{facts['version'].replace('+', '%2B').replace(':', '%3A')}"
    return {
        "name": package, "SPDXID": reference(package), "versionInfo": facts["version"], "supplier": "Organization: Debian",
        "downloadLocation": "NOASSERTION", "filesAnalyzed": False, "licenseConcluded": "NOASSERTION",
        "licenseDeclared": declared, "licenseComments": comment, "copyrightText": "NOASSERTION",
        "sourceInfo": f"Debian source package {facts['source']}",
        "externalRefs": [{"referenceCategory": "PACKAGE-MANAGER", "referenceType": "purl",
                          "referenceLocator": f"{locator}?arch={facts['architecture']}"}],
    }


def product_file(path, name, owner):
    return {
        "fileName": name, "SPDXID": f"SPDXRef-File-{path.name}", "fileTypes": ["BINARY"],
        "checksums": [{"algorithm": kind.upper(), "checksumValue": digest(path, kind)} for kind in ("sha1", "sha256")],
        "licenseConcluded": "MIT", "licenseInfoInFiles": ["MIT"], "copyrightText": owner,
    }


def product(version, files, owner):
    sums = sorted(entry["checksums"][0]["checksumValue"] for entry in files)
    code = hashlib.sha1("".join(sums).encode()).hexdigest()  # SPDX 2.3, 7.9
    return {
        "name": "scrapetrace", "SPDXID": PRODUCT, "versionInfo": version, "supplier": "NOASSERTION",
        "downloadLocation": "NOASSERTION", "filesAnalyzed": True, "primaryPackagePurpose": "APPLICATION",
        "packageVerificationCode": {"packageVerificationCodeValue": code}, "licenseConcluded": "MIT",
        "licenseInfoFromFiles": ["MIT"], "licenseDeclared": "MIT", "copyrightText": owner,
    }


def tie(a, kind, b):
    return {"spdxElementId": a, "relationshipType": kind, "relatedSpdxElement": b}


def ties_of(program, loads, paths, package_of):
    """Who is linked with whom, and what the program loads when it needs it."""
    own = {package_of[paths[name]] for name in debian.needed(program) if name in paths}
    ties = [tie(PRODUCT, "DYNAMIC_LINK", reference(package)) for package in sorted(own)]
    late = {package_of[str(path)] for path in loads}
    ties += [tie(reference(package), "RUNTIME_DEPENDENCY_OF", PRODUCT) for package in sorted(late)]
    pairs = {(package_of[path], package_of[paths[name]]) for path in paths.values() for name in debian.needed(path)
             if name in paths}
    return own | late, ties + [tie(reference(a), "DEPENDS_ON", reference(b)) for a, b in sorted(pairs) if a != b]


def make(asked):
    table = tomllib.loads(asked.licences.read_text())
    owner = re.search(r"^Copyright.*$", (asked.source / "LICENSE").read_text(), re.M)[0]
    loads = [path.resolve() for path in asked.loads]
    paths = debian.with_what_is_loaded(asked.program, loads)
    package_of = debian.owners(list(paths.values()))
    headers = set(debian.owners(sorted(HEADERS)).values())
    direct, ties = ties_of(asked.program, loads, paths, package_of)
    unlisted = sorted((direct | headers) - set(table))
    if unlisted:
        raise debian.BillError(f"licences.toml does not list {', '.join(unlisted)}")
    facts = debian.packages(sorted(set(package_of.values()) | headers | set(TOOLS)))
    files = [product_file(asked.program, "./bin/scrapetrace", owner)]
    files += [product_file(path, f"./lib/{path.name}", owner) for path in asked.library]
    ties = [tie("SPDXRef-DOCUMENT", "DESCRIBES", PRODUCT), *[tie(PRODUCT, "CONTAINS", file["SPDXID"]) for file in files],
            *ties, *[tie(PRODUCT, "STATIC_LINK", reference(package)) for package in sorted(headers)],
            *[tie(reference(tool), "BUILD_TOOL_OF", PRODUCT) for tool in TOOLS]]
    signing = (f"Signed: {asked.out.name}.sig beside this file is an SSH signature, namespace {NAMESPACE}."
               if asked.key else "Not signed: the build was given no key (SCRAPETRACE_SIGNING_KEY).")
    return {
        "spdxVersion": "SPDX-2.3", "dataLicense": "CC0-1.0", "SPDXID": "SPDXRef-DOCUMENT",
        "name": f"scrapetrace-{asked.version}",
        "documentNamespace": f"https://scrapetrace.invalid/bill/{asked.version}/{digest(asked.program, 'sha256')}",
        "creationInfo": {"created": made_at(), "creators": [f"Tool: scrapetrace-make_bill-{asked.version}"],
                         "comment": signing},
        "packages": [product(asked.version, files, owner), *[dependency(name, facts[name], table) for name in sorted(facts)]],
        "files": files, "relationships": ties,
    }


def sign(out, key):
    signature = pathlib.Path(f"{out}.sig")
    signature.unlink(missing_ok=True)
    ran = subprocess.run(["ssh-keygen", "-Y", "sign", "-f", str(key), "-n", NAMESPACE, str(out)], capture_output=True,
                         text=True, stdin=subprocess.DEVNULL)
    if ran.returncode != 0 or not signature.exists():
        out.unlink()
        raise debian.BillError(f"ssh-keygen cannot sign with {key}: {ran.stderr.strip()}")


def main():
    here = pathlib.Path(__file__).parent
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("--program", type=pathlib.Path, required=True)
    arguments.add_argument("--loads", type=pathlib.Path, action="append", default=[],
                           help="a shared library that the program loads when it needs it")
    arguments.add_argument("--library", type=pathlib.Path, action="append", default=[])
    arguments.add_argument("--source", type=pathlib.Path, required=True, help="the folder with LICENSE")
    arguments.add_argument("--version", required=True)
    arguments.add_argument("--licences", type=pathlib.Path, default=here / "licences.toml")
    arguments.add_argument("--key", type=pathlib.Path, help="an SSH private key without a passphrase, or one an agent holds")
    arguments.add_argument("--out", type=pathlib.Path, required=True)
    asked = arguments.parse_args()
    try:
        bill = make(asked)
        asked.out.write_text(json.dumps(bill, indent=1, ensure_ascii=False) + "\n")
        if asked.key:
            sign(asked.out, asked.key)
        else:
            pathlib.Path(f"{asked.out}.sig").unlink(missing_ok=True)
    except debian.BillError as error:
        sys.exit(f"make_bill: {error}")


main()
