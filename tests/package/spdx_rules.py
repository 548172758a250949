"""What SPDX 2.3 asks of a document, by the clauses of the specification (spdx.github.io/spdx-spec/v2.3), as far as this
project's bill uses it; and licence expressions (Annex D) against the SPDX licence list as Debian packages it
(node-spdx-license-ids, node-spdx-exceptions)."""
import datetime
import json
import re

NODE = "/usr/share/nodejs"
DIGITS = {"SHA1": 40, "SHA256": 64}
TIES = {"DESCRIBES", "CONTAINS", "DYNAMIC_LINK", "STATIC_LINK", "DEPENDS_ON", "RUNTIME_DEPENDENCY_OF", "BUILD_TOOL_OF"}  # of clause 11.1


def licence_list():
    known = set()
    for name in ("spdx-license-ids/index.json", "spdx-license-ids/deprecated.json"):
        known |= set(json.load(open(f"{NODE}/{name}")))
    return known, set(json.load(open(f"{NODE}/spdx-exceptions/index.json")))


KNOWN, EXCEPTIONS = licence_list()


def expression_mistake(words):
    """Annex D: simple expressions joined by AND and OR, WITH before an exception. Parentheses are not used here."""
    if words in ("NOASSERTION", "NONE"):
        return None
    for part in re.split(r" (?:AND|OR) ", words):
        licence, _, exception = part.partition(" WITH ")
        if licence not in KNOWN or (exception and exception not in EXCEPTIONS):
            return f"{part!r} is not on the licence list"
    return None


def mistakes_of(bill):
    found = []

    def need(right, what):
        if not right:
            found.append(what)

    need(bill.get("spdxVersion") == "SPDX-2.3", "6.1: spdxVersion")
    need(bill.get("dataLicense") == "CC0-1.0", "6.2: dataLicense")
    need(bill.get("SPDXID") == "SPDXRef-DOCUMENT", "6.3: SPDXID")
    need(bill.get("name"), "6.4: name")
    need(re.fullmatch(r"https?://[^#\s]+", bill.get("documentNamespace", "")), "6.5: documentNamespace")
    creation = bill.get("creationInfo", {})
    need(creation.get("creators") and all(re.match(r"(Person|Organization|Tool): \S", one) for one in creation["creators"]),
         "6.8: creators")
    try:
        datetime.datetime.strptime(creation.get("created", ""), "%Y-%m-%dT%H:%M:%SZ")
    except ValueError:
        need(False, "6.9: created")
    for package in bill.get("packages", []):
        found += package_mistakes(package)
    for file in bill.get("files", []):
        found += file_mistakes(file)
    return found + tie_mistakes(bill)


def package_mistakes(package):
    name = package.get("name", "?")
    wrong = [f"7: {name} has no {field}" for field in ("name", "SPDXID", "downloadLocation") if not package.get(field)]
    if package.get("filesAnalyzed", True) != ("packageVerificationCode" in package):
        wrong.append(f"7.9: {name}: verification code where files were analysed, and there only")
    if not package.get("filesAnalyzed", True) and "licenseInfoFromFiles" in package:
        wrong.append(f"7.14: {name}: licences from files that were not analysed")
    if not re.fullmatch(r"NOASSERTION|(Organization|Person): .+", package.get("supplier", "NOASSERTION")):
        wrong.append(f"7.5: {name}: supplier")
    for field in ("licenseConcluded", "licenseDeclared"):
        mistake = expression_mistake(package.get(field, "NOASSERTION"))
        if mistake:
            wrong.append(f"7.13, 7.15: {name}: {mistake}")
    for outside in package.get("externalRefs", []):
        if outside["referenceType"] != "purl" or not re.fullmatch(r"pkg:deb/debian/[^@\s]+@[^?\s]+\?arch=\w+",
                                                                  outside["referenceLocator"]):
            wrong.append(f"7.21: {name}: {outside}")
    return wrong


def file_mistakes(file):
    name = file.get("fileName", "?")
    wrong = [] if name.startswith("./") else [f"8.1: {name} does not begin with ./"]
    sums = {one["algorithm"]: one["checksumValue"] for one in file.get("checksums", [])}
    if "SHA1" not in sums or any(not re.fullmatch(f"[0-9a-f]{{{DIGITS[kind]}}}", value) for kind, value in sums.items()):
        wrong.append(f"8.4: {name}: checksums {sums}")
    return wrong + [f"8.5: {name}: {one}" for one in file.get("licenseInfoInFiles", []) if expression_mistake(one)]


def tie_mistakes(bill):
    names = [bill["SPDXID"], *[one["SPDXID"] for one in bill["packages"] + bill["files"]]]
    wrong = [f"3.2: {name}" for name in names if not re.fullmatch(r"SPDXRef-[A-Za-z0-9.-]+", name)]
    wrong += [f"3.2: {name} is there twice" for name in set(names) if names.count(name) > 1]
    for tie in bill["relationships"]:
        if tie["relationshipType"] not in TIES or not {tie["spdxElementId"], tie["relatedSpdxElement"]} <= set(names):
            wrong.append(f"11.1: {tie}")
    if not any(tie["relationshipType"] == "DESCRIBES" for tie in bill["relationships"]):
        wrong.append("11.1: nothing is described")
    return wrong
