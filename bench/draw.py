#!/usr/bin/python3
"""Draw documents with reportlab: two embedded faces, the texts and lines of a
summary, on all cores, or as many as CORES says, in one process each (reportlab
attaches no files). With SYNC=1 each file is put on the disk, as the program's are.

    draw.py N CONTENT.json OUT REGULAR.ttf BOLD.ttf
"""
import json
import os
import sys

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen import canvas


def draw(content, path):
    c = canvas.Canvas(path, pagesize=(595.28, 841.89), pageCompression=1)
    for page in content["Pages"]:
        for i, text in enumerate(page["Texts"]):
            if i % 8 == 0:
                c.setFont("bold" if i // 8 % 2 else "regular", 9)
            c.drawString(40 + i % 6 * 85, 800 - i // 6 * 11, text)
        for i in range(page["Paths"]):
            y = 800 - 3 * i
            c.line(40, y, 555, y)
        c.showPage()
    c.save()
    if os.environ.get("SYNC"):
        with open(path, "rb+") as f:
            os.fsync(f.fileno())


def main():
    n, content, out, regular, bold = sys.argv[1:]
    with open(content) as f:
        content = json.load(f)
    os.makedirs(out, exist_ok=True)
    pdfmetrics.registerFont(TTFont("regular", regular))
    pdfmetrics.registerFont(TTFont("bold", bold))
    cores = int(os.environ.get("CORES") or len(os.sched_getaffinity(0)))
    children = []
    for core in range(cores):
        if child := os.fork():
            children.append(child)
            continue
        for i in range(core, int(n), cores):
            draw(content, os.path.join(out, f"{i:06}.pdf"))
        os._exit(0)
    for child in children:
        if os.waitpid(child, 0)[1]:
            sys.exit("a process failed")


main()
