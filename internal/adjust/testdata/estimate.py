"""Estimate jobs with numpy, as a second opinion.

One JSON object a line comes in: what a job states. One goes out: for each set
the masses with their u, and for each rating line and state the value and u.
Nothing here is shared with the program: the axles come from the balance of
forces and moments, solved as a system; each u from differences of the whole
computation, one input at a time; the heaviest trailer from two points of each
line, which is straight in the trailer's mass.
"""

import json
import sys

import numpy

SHARES = {"au": (10, 2), "nz": (10, 2), "us": (12.5, 2), "uk": (6, 1), "eu": (5, 1.5), "": (10, 4)}
EMPTY = ("kerb", "tare", "running_order")


def share_of(job):
    if job["kind"] == "drawbar":
        return 0.0, 0.0
    if job["share"] is not None:
        return job["share"] / 100, 0.01
    if job["kind"] == "semi":
        return 0.20, 0.05
    return tuple(numpy.array(SHARES[job["region"]]) / 100)


def in_force(job, name):
    own = {(r["word"], r["on"]) for r in job["ratings"] if r["set"] == name and name}
    return [r for r in job["ratings"] if r["set"] == name or r["set"] == "" and (r["word"], r["on"]) not in own]


class Model:
    """The inputs of one set as a vector, and what follows from it."""

    def __init__(self, job, name):
        self.job, self.x, self.u, self.at = job, [], [], {}
        self.lines = in_force(job, name)
        self.loads = [load for load in job["loads"] if load["set"] in ("", name)]
        driver = any(load["name"] == "driver" and load["on"] == "vehicle" for load in self.loads)
        for line in self.lines:
            if line["word"] in EMPTY:
                kg = line["kg"]
                if line["word"] == "running_order" and driver and line["on"] != "trailer":
                    kg -= 75 if line["on"] == "vehicle" else 37.5
                self.put("empty " + line["on"], kg, 0.02 * kg)
        for i, load in enumerate(self.loads):
            self.put(i, load["kg"], load["u"])
        self.put("share", *share_of(job))
        self.x, self.u = numpy.array(self.x), numpy.array(self.u)

    def put(self, key, value, u):
        self.at[key] = len(self.x)
        self.x.append(value)
        self.u.append(u)

    def get(self, x, key):
        return x[self.at[key]] if key in self.at else numpy.nan

    def on(self, x, unit):
        return sum(x[self.at[i]] for i, load in enumerate(self.loads) if load["on"] == unit)

    def trailer(self, x):
        if "empty trailer" in self.at:
            return self.get(x, "empty trailer") + self.on(x, "trailer")
        atm = [r["kg"] for r in self.lines if r["word"] == "atm"]
        return min(atm) if atm else numpy.nan

    def vehicle(self, x):
        return self.get(x, "empty vehicle") + self.on(x, "vehicle")

    def axles(self, x, down, towing):
        """Front and rear: forces and moments about the front axle balance."""
        w, a = self.job["w"], self.job["a"]
        front, rear = self.get(x, "empty front"), self.get(x, "empty rear")
        force, moment = down, 0.0
        if towing:
            if w is None or a is None:
                return numpy.nan, numpy.nan
            moment = down * (w + a)
        for i, load in enumerate(self.loads):
            if load["on"] != "vehicle":
                continue
            if load["at"] is None or w is None and load["at"] != 0:
                return numpy.nan, numpy.nan
            force += x[self.at[i]]
            moment += x[self.at[i]] * load["at"]
        if w is None:
            return front + force, rear
        more = numpy.linalg.solve(numpy.array([[1.0, 1.0], [0.0, w]]), numpy.array([force, moment]))
        return front + more[0], rear + more[1]

    def value(self, x, line, state, trailer=None):
        t = self.trailer(x) if trailer is None else trailer
        s = self.get(x, "share")
        towing = state != "vehicle_alone" and self.job["kind"] != "drawbar"
        down = s * t if towing else 0.0
        word, on = line["word"], line["on"]
        if word == "gvm":
            return self.vehicle(x) + down
        if word == "gcm":
            return self.vehicle(x) + t
        if word == "atm" or word == "towing" and self.job["region"] != "eu":
            return t
        if word in ("gtm", "towing") or on == "trailer":
            return t - down
        if word.startswith("download"):
            return down
        if word == "d_value":
            p, c = (self.vehicle(x) + down) / 1000, (t - down) / 1000
            return 9.81 * p * c / (p + c)
        return self.axles(x, down, towing)[0 if on == "front" else 1]

    def with_u(self, f):
        """f and its u: central differences, exact for what is straight."""
        v = f(self.x)
        if numpy.isnan(v):
            return None
        parts = []
        for i, u in enumerate(self.u):
            step = numpy.zeros(len(self.x))
            step[i] = max(u, 1e-3) * 1e-2
            parts.append((f(self.x + step) - f(self.x - step)) / (2 * step[i]) * u)
        return [float(v), float(numpy.linalg.norm(parts))]

    def fits(self, rows):
        low, high = 0.0, numpy.inf
        for line, state in rows:
            if line["word"] in ("download_min", "d_value"):
                continue
            at0, at1 = (self.value(self.x, line, state, t) for t in (0.0, 1000.0))
            if numpy.isnan(at1) or numpy.isnan(at0):
                continue
            slope, room = (at1 - at0) / 1000, line["kg"] - at0
            if abs(slope) < 1e-12:
                if room < 0:
                    return None
            elif slope > 0:
                high = min(high, room / slope)
            else:
                low = max(low, room / slope)
        if not numpy.isfinite(high) or high < 0 or low > high:
            return None
        return float(high)


def rows_of(job, model):
    rows = []
    s = model.get(model.x, "share")
    for line in job["ratings"]:
        if line not in model.lines or line["word"] in EMPTY:
            continue
        if line["word"] == "axle" and line["on"] == "front" and s > 0:
            lever = None if job["w"] is None or job["a"] is None else job["a"] / job["w"]
            alone = model.value(model.x, line, "vehicle_alone")
            if not numpy.isnan(alone) and (lever is None or lever > 0):
                rows.append((line, "vehicle_alone"))
        rows.append((line, "coupled" if line["word"] in ("gvm", "gtm", "axle") or line["word"] == "towing" and job["region"] == "eu" else ""))
    return rows


def answer(job, name):
    m = Model(job, name)
    t, s = m.trailer, lambda x: m.get(x, "share")
    down = (lambda x: 0.0) if job["kind"] == "drawbar" else (lambda x: s(x) * t(x))
    gvm = [r["kg"] for r in m.lines if r["word"] == "gvm"]
    rows = rows_of(job, m)
    out = {
        "set": name, "vehicle": m.with_u(m.vehicle), "trailer": m.with_u(t), "download": m.with_u(down),
        "combination": m.with_u(lambda x: m.vehicle(x) + t(x)), "payload": None, "left": None, "fits": m.fits(rows), "rows": [],
    }
    if gvm and "empty vehicle" in m.at:
        out["payload"] = min(gvm) - float(m.get(m.x, "empty vehicle"))
        out["left"] = m.with_u(lambda x: min(gvm) - m.vehicle(x) - down(x))
    for line, state in rows:
        v = m.with_u(lambda x: m.value(x, line, state))
        out["rows"].append({"line": line["line"], "state": state, "value": v})
    return out


for text in sys.stdin:
    job = json.loads(text)
    json.dump([answer(job, name) for name in job["sets"]], sys.stdout, allow_nan=False)
    print()
