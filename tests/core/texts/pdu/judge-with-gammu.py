"""Reads and writes PDUs with gammu (Debian package python3-gammu), so that nothing of this project judges its own
work. One JSON object a line in, one out: {"read": [hex, ...]} gives {"text": ...}, {"write": text, "wide": bool} gives
{"pdus": [hex, ...]}."""

import json
import sys

import gammu


def read(pdus):
    text = ""
    for pdu in pdus:
        # The binding hands over as many characters as there were septets: past the closing NUL it is leftover memory.
        text += gammu.DecodePDU(bytes.fromhex(pdu), True)["Text"].split("\0")[0]
    return {"text": text}


def write(text, wide):
    entry = {"ID": "ConcatenatedTextLong", "Buffer": text}
    pdus = []
    for sms in gammu.EncodeSMS({"Class": -1, "Unicode": wide, "Entries": [entry]}):
        sms["Number"] = "+254700000001"
        sms["SMSC"] = {"Number": "+254700000000"}
        pdus.append(gammu.EncodePDU(sms, "Submit").hex())
    return {"pdus": pdus}


for line in sys.stdin:
    wanted = json.loads(line)
    answer = read(wanted["read"]) if "read" in wanted else write(wanted["write"], wanted["wide"])
    sys.stdout.write(json.dumps(answer) + "\n")
