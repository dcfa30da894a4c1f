#!/usr/bin/python3
"""A second implementation of the weighing model and of the checks, written from the
description of the behaviour alone, in another language and by other numerical means
(singular values of the whole system instead of a factorisation by Householder).

    check.py PROGRAM FOLDER...            compare the record of each folder of forms
    check.py PROGRAM --random N SEED DIR  write N random folders below DIR and compare them
    check.py PROGRAM --random N SEED DIR empty,rocker    with empty decks read and rocker suspensions too

PROGRAM - asks on standard output for the records and reads them from standard input.
Every difference is printed; exit 1 where there is one, 2 where a job was not comparable.
Masses are kilograms, lengths millimetres. Nothing is asked of the program but its record.
"""
import csv, datetime, hashlib, json, math, os, random, subprocess, sys
from fractions import Fraction as F
import numpy as np

LB = F('0.45359237')
UNIT = {'': F(1), 'kg': F(1), 't': F(1000), 'lb': LB}
LENGTH = {'': F(1), 'mm': F(1), 'cm': F(10), 'm': F(1000), 'in': F('25.4')}
STATES = ['vehicle_alone', 'trailer_alone', 'coupled_slack', 'coupled_tensioned']
SYNONYM = {'gvwr': 'gvm', 'gvw': 'gvm', 'dgvw': 'gvm', 'mam_vehicle': 'gvm', 'f.1': 'gvm', 'f.2': 'gvm',
           'gcwr': 'gcm', 'gtw': 'gcm', 'dgcw': 'gcm', 'mc': 'gcm', 'f.3': 'gcm',
           'gvwr_trailer': 'atm', 'gvm_trailer': 'atm', 'mtplm': 'atm', 'mam_trailer': 'atm',
           'gawr': 'axle', 'tm': 'towing', 'o.1': 'towing', 'o.2': 'towing',
           'noseweight': 'download_max', 'tongue': 'download_max', 'ball_weight': 'download_max', 's': 'download_max'}
# Load indices 0-180 (ISO 4000-1 as transcribed in the trade; from memory, row by ten).
INDEX = [float(x) for x in '''45 46.2 47.5 48.7 50 51.5 53 54.5 56 58 60 61.5 63 65 67 69 71 73 75 77.5
80 82.5 85 87.5 90 92.5 95 97.5 100 103 106 109 112 115 118 121 125 128 132 136 140 145 150 155 160 165 170 175 180 185
190 195 200 206 212 218 224 230 236 243 250 257 265 272 280 290 300 307 315 325 335 345 355 365 375 387 400 412 425 437
450 462 475 487 500 515 530 545 560 580 600 615 630 650 670 690 710 730 750 775 800 825 850 875 900 925 950 975 1000 1030
1060 1090 1120 1150 1180 1215 1250 1285 1320 1360 1400 1450 1500 1550 1600 1650 1700 1750 1800 1850
1900 1950 2000 2060 2120 2180 2240 2300 2360 2430 2500 2575 2650 2725 2800 2900 3000 3075 3150 3250
3350 3450 3550 3650 3750 3875 4000 4125 4250 4375 4500 4625 4750 4875 5000 5150 5300 5450 5600 5800
6000 6150 6300 6500 6700 6900 7100 7300 7500 7750 8000'''.split()]


# ---------------------------------------------------------------- forms
def form(path):
    """The lines of a form as dicts of trimmed cells, '_line' the line in the file; None without the file."""
    if not os.path.exists(path):
        return None
    rows, header = [], None
    with open(path, encoding='utf-8-sig') as f:
        for number, text in enumerate(f, 1):
            text = text.rstrip('\r\n')
            if text.startswith('# '):
                continue
            cells = [c.strip() for c in next(csv.reader([text]), [])]
            if not any(cells):
                continue
            if header is None:
                header = [c.lower() for c in cells]
                continue
            row = {h: (cells[i] if i < len(cells) else '') for i, h in enumerate(header)}
            row['_line'], row['_header'] = number, header
            rows.append(row)
    return rows


def jobs_of(folder):
    """The jobs of a folder: name -> forms."""
    names = ['tickets', 'ratings', 'outfit', 'scales', 'loads', 'places', 'issuer']
    forms = {n: form(os.path.join(folder, n + '.csv')) for n in names}
    order = []
    for row in forms['tickets']:
        if row.get('job', '') not in order:
            order.append(row.get('job', ''))
    out = []
    for job in order:
        mine = {}
        for n in names:
            rows = forms[n]
            if rows is None:
                mine[n] = None
                continue
            own = [r for r in rows if r.get('job', '') in ((job,) if n == 'tickets' else (job, ''))]
            mine[n] = own or None
        if mine['outfit']:
            merged = {}
            for row in sorted(mine['outfit'], key=lambda r: r.get('job', '') == job and job != ''):
                merged.update({k: v for k, v in row.items() if v != '' or k not in merged})
            mine['outfit'] = merged
        out.append((job, mine))
    return out


def names_of(cell):
    return [x.strip() for x in cell.split('+') if x.strip()]


def dec(cell, unit='kg'):
    return F(cell) * UNIT[unit]


# ---------------------------------------------------------------- the job
def exact_split(parts, want, total, wheels):
    """Two parts or more that split the supports wanted exactly and add up to the total."""
    def go(i, left, rest, n):
        if not left:
            return n >= 2 and rest == 0
        return any(wheels(parts[k]) <= left and go(k + 1, left - wheels(parts[k]), rest - parts[k].exact, n + 1)
                   for k in range(i, len(parts)))
    return go(0, set(want), total, 0)


class Scale:
    pass


class Reading:
    pass


class Load:
    pass


class Job:
    def __init__(self, name, forms, region_flag=''):
        self.name, self.forms = name, forms
        o = forms['outfit'] or {}
        self.o = o
        self.region = o.get('region', '') or region_flag
        lu = LENGTH[o.get('length_unit', '')]
        self.lu = lu
        ln = lambda k: float(F(o[k]) * lu) if o.get(k, '') else None
        self.w, self.a = ln('wheelbase'), ln('rear_axle_to_coupling')
        self.L, self.n = ln('coupling_to_trailer_axle'), ln('nose_support_to_trailer_axle')
        self.ul = ln('length_uncertainty')
        if self.ul is None:
            self.ul = 10.0
        self.axles_known = {'front': 1, 'rear': int(o['rear_axles']) if o.get('rear_axles') else None,
                            'trailer': int(o['trailer_axles']) if o.get('trailer_axles') else None}
        self.axles = {g: (v or 1) for g, v in self.axles_known.items()}
        self.brakes = o.get('trailer_brakes', '')
        self.rocker = o.get('suspension', '') == 'rocker'
        self.kind = o.get('trailer_kind', '') or 'centre_axle'
        self.read_scales()
        self.read_loads()
        self.read_tickets()
        self.travels = o.get('travels', '')
        self.travels_blank = not self.travels
        if not self.travels:
            t = any(r.use == 'yes' and r.hitch in ('tensioned', 'unknown') for r in self.readings)
            self.travels = 'tensioned' if t else 'plain'
        self.travel_state = 'coupled_tensioned' if self.travels == 'tensioned' else 'coupled_slack'
        self.split_supports()
        self.read_ratings()

    def read_scales(self):
        self.scales = {}
        for r in self.forms['scales'] or []:
            s = Scale()
            s.name = r['scale']
            s.deck = r.get('deck', '') or 'single'
            c = r.get('class', '')
            s.cls = {'3': 'III', '4': 'IIII', '3L': 'III L'}.get(c, c) or ('IIII' if s.deck.startswith('pads') else 'III')
            s.interval = dec(r['interval'], r.get('unit', '')) if r.get('interval') else None
            s.expanded = float(r['expanded_uncertainty']) if r.get('expanded_uncertainty') else None
            s.stated = float(r['stated_at']) if r.get('stated_at') else None
            s.split = float(r['split_uncertainty']) if r.get('split_uncertainty') else None
            self.scales[s.name] = s

    def scale(self, name):
        if name not in self.scales:
            s = Scale()
            s.name, s.deck, s.cls = name, 'single', 'III'
            s.interval = s.expanded = s.stated = s.split = None
            self.scales[name] = s
        return self.scales[name]

    def read_loads(self):
        places = {r['place']: r for r in self.forms['places'] or []}
        self.loads = {}
        for r in self.forms['loads'] or []:
            l = Load()
            l.name = r['load']
            m = dec(r['mass'], r.get('unit', ''))
            l.mass_exact = m
            l.mass = float(m)
            l.u = float(dec(r['uncertainty'], r.get('unit', ''))) if r.get('uncertainty') else max(0.05 * l.mass, 1.0)
            p = places.get(r.get('place', ''))
            l.on = (p['on'] if p else '') or r.get('on', '')
            l.at = float(F(p['at']) * self.lu) if p and p.get('at', '') != '' else None
            l.set = r.get('set', '')
            self.loads[l.name] = l

    def read_tickets(self):
        self.readings = []
        for row in self.forms['tickets']:
            terms = [h for h in row['_header'] if h.split('.')[0] in
                     ('front', 'rear', 'vehicle', 'trailer', 'nose', 'coupling', 'all')]
            cells = [(h, h, row[h]) for h in terms if row[h]]
            if row.get('reading', ''):
                cells.insert(0, ('', row['on_deck'], row['reading']))
            for column, deck, value in cells:
                r = Reading()
                r.line, r.column, r.deck_words = row['_line'], column, deck
                r.setup = row.get('setup', '')
                r.empty = deck == 'empty'
                r.hitch = (row.get('hitch', '') or 'slack') if r.setup == 'coupled' else ''
                r.use = row.get('use', '') or 'yes'
                r.without, r.with_ = names_of(row.get('without', '')), names_of(row.get('with', ''))
                r.scale = self.scale(row.get('scale', ''))
                unit = row.get('unit', '')
                r.exact = dec(value, unit)
                r.kg = float(r.exact)
                if row.get('interval'):
                    r.e = dec(row['interval'], unit)
                else:
                    r.e = r.scale.interval
                r.at = row.get('weighed_at', '')
                r.terms = [] if r.empty else names_of(deck)
                r.hitch_said = row.get('hitch', '')
                r.state = r.setup if r.setup != 'coupled' else 'coupled_' + {'unknown': 'tensioned'}.get(r.hitch, r.hitch)
                r.confirmed = names_of(row.get('confirmed', ''))
                r.ticket, r.unit, r.people = row.get('ticket', ''), unit or 'kg', row.get('people', '')
                r.use_typed, r.typed_e = row.get('use', ''), bool(row.get('interval')) or r.scale.interval is not None
                self.readings.append(r)
        self.take_calculated()
        self.used = [r for r in self.readings if r.use == 'yes' and not r.empty]
        self.assume_intervals()
        for s in self.scales.values():
            s.empties = [r for r in self.readings if r.use == 'yes' and r.empty and r.scale is s]

    def take_calculated(self):
        """Figures that other lines of their ticket add up to by identities of supports."""
        def wheels(r):
            out = set()
            for g, axle, side in self.expand(r.setup, r.terms):
                for i in ([axle] if axle else range(1, self.axles[g] + 1 if g in self.axles else 2)):
                    out |= {(g, i, d) for d in ([side] if side else ['left', 'right'])}
            return out

        free = [r for r in self.readings if not r.column and r.use_typed == '' and not r.empty]
        blank = set(map(id, free))
        def alike(a, b, setups=True):
            same = (a.ticket, a.scale, sorted(a.with_), sorted(a.without), a.people) == (b.ticket, b.scale, sorted(b.with_), sorted(b.without), b.people)
            return same and (a.at == b.at or not a.at or not b.at) and (not setups or (a.setup, a.hitch) == (b.setup, b.hitch))
        taken = []

        def available(r):
            return not r.column and not r.empty and r.use != 'calculated' and r.use != 'no' and r not in taken

        for whole in sorted((r for r in self.readings if available(r) and r.terms), key=lambda r: -len(wheels(r))):
            if whole in taken or id(whole) not in blank:
                continue
            want = wheels(whole)
            parts = [r for r in self.readings if r is not whole and available(r) and alike(r, whole) and wheels(r) < want]
            found = exact_split(parts, want, whole.exact, wheels)
            if found:
                taken.append(whole)
                whole.use = 'calculated'
        self.taken = taken

    def assume_intervals(self):
        """The largest of 100, 50, 20, 10, 5 of which all used readings of a scale and unit are multiples."""
        sizes = {'kg': [100, 50, 20, 10, 5], 't': [100, 50, 20, 10, 5], 'lb': [100, 50, 20, 10]}
        for r in self.readings:
            r.left_aside = False
        for key in dict.fromkeys((r.scale.name, r.unit) for r in self.readings if r.e is None):
            mine = [r for r in self.used if (r.scale.name, r.unit) == key and r.e is None]
            step = {'t': F(1), 'kg': F(1), 'lb': UNIT['lb']}[key[1]]
            fits = lambda e: [r for r in mine if (r.exact / (e * step)).denominator == 1]
            tries = [e for e in sizes[key[1]] if e <= 20 or len(mine) >= 3]
            e = next((e for e in tries if len(fits(e)) == len(mine)), None)
            aside = []
            if e is None and len(mine) >= 5:
                e = next((e for e in tries if len(fits(e)) == len(mine) - 1), None)
                aside = [r for r in mine if e is not None and r not in fits(e)]
            if e is None:
                e = sizes[key[1]][-1]
            for r in self.readings:
                if (r.scale.name, r.unit) == key and r.e is None:
                    r.e = e * step
                    r.left_aside = r in aside

    # -- supports
    def expand(self, setup, terms):
        """(group, axle or 0, side or '') triples of a list of terms; nose and coupling as groups."""
        out = []
        for t in terms:
            head, *rest = t.split('.')
            axle = next((int(x) for x in rest if x.isdigit()), 0)
            side = next((x for x in rest if x in ('left', 'right')), '')
            if head == 'vehicle':
                out += [('front', axle, side), ('rear', axle, side)]
            elif head == 'all':
                heads = self.heads(setup)
                out += [(h, axle, '' if h == 'nose' else side) for h in heads]
            else:
                out.append((head, axle, side))
        return out

    def heads(self, setup):
        if setup == 'vehicle_alone':
            return ['front', 'rear']
        if setup == 'trailer_alone':
            return ['trailer'] if self.kind == 'drawbar' else ['trailer', 'nose']
        return ['front', 'rear', 'trailer']

    def split_supports(self):
        self.by_axle = {g: False for g in ('front', 'rear', 'trailer', 'nose')}
        self.by_side = dict(self.by_axle)
        for r in self.used:
            for g, axle, side in self.expand(r.setup, r.terms):
                if g in self.by_axle:
                    self.by_axle[g] |= axle > 0
                    self.by_side[g] |= side != ''
        for g in ('front', 'rear', 'trailer'):
            if self.axles[g] == 1:
                self.by_axle[g] = False
        for r in self.used:
            r.atoms = self.atoms_of(r.setup, r.terms)

    def atoms(self, g):
        """The finest solved supports of a group: (group, axle or 0, side or '')."""
        axles = range(1, self.axles[g] + 1) if self.by_axle.get(g) else [0]
        sides = ['left', 'right'] if self.by_side.get(g) else ['']
        return [(g, i, s) for i in axles for s in sides]

    def atoms_in(self, g, axle, side):
        """Atoms inside a support; None where the support is finer than what is solved."""
        if g == 'nose':
            return [('nose', 0, '')]
        if axle and not self.by_axle[g] and self.axles[g] > 1 or side and not self.by_side[g]:
            return None
        return [x for x in self.atoms(g) if (not axle or x[1] in (0, axle)) and (not side or x[2] == side)]

    def atoms_of(self, setup, terms):
        out = set()
        for g, axle, side in self.expand(setup, terms):
            out |= {('coupling', 0, '')} if g == 'coupling' else set(self.atoms_in(g, axle, side))
        return frozenset(out)

    def whole(self, setup):
        heads = self.heads(setup)
        return frozenset(a for h in heads for a in self.atoms(h))

    # -- ratings
    def read_ratings(self):
        self.ratings = []
        last = max((day(r.at, self.region) for r in self.readings if r.at), default=None)
        own = {'none': 'unbraked', 'overrun': 'braked', 'driver': 'braked'}.get(self.brakes)
        for row in self.forms['ratings'] or []:
            q = Load()
            word = row['rating'].lower()
            q.line, q.rating = row['_line'], SYNONYM.get(word, word)
            q.on, q.value, q.unit = row.get('on', ''), row['value'], row.get('unit', '')
            q.kind = row.get('kind', '') or {'o.1': 'braked', 'o.2': 'unbraked'}.get(word, '')
            q.when, q.set = row.get('when', ''), row.get('set', '')
            q.fitted = int(row['fitted']) if row.get('fitted') else None
            q.certificate, q.confirmed = row.get('certificate', ''), names_of(row.get('confirmed', ''))
            q.status = 'held'
            cert = row.get('certified_on', '')
            if row.get('replaced', '') == 'yes':
                q.status = 'replaced'
            elif q.rating == 'towing' and q.kind and own and q.kind != own:
                q.status = 'other_kind'
            elif q.value != 'none' and cert and last and day(cert, self.region) > last:
                q.status = 'not_in_force'
            elif q.value == 'none':
                q.status = 'none'
            self.ratings.append(q)
        for q in self.ratings:
            q.states = self.states_of(q)
        for q in self.ratings:
            if q.status == 'held' and not q.states and q.rating not in ('kerb', 'tare', 'running_order'):
                q.status = 'displaced'

    def states_of(self, q, set_name=None):
        """States in which a line applies: '' for a check without a state."""
        if q.rating in ('kerb', 'tare', 'running_order'):
            return []
        group = q.on.split('.')[0]
        coupled = ['coupled_slack', 'coupled_tensioned']
        if q.rating in ('gvm', 'axle', 'tyre', 'wheel'):
            all_ = coupled if group == 'trailer' else ['vehicle_alone'] + coupled
        elif q.rating == 'gtm' or q.rating == 'towing' and self.region == 'eu':
            all_ = coupled
        else:
            all_ = ['']
        rivals = [p for p in self.ratings if p is not q and p.when and p.status in ('held', 'none') and
                  (p.rating, p.on, p.set) == (q.rating, q.on, q.set)]
        out = []
        for s in all_:
            real = s or self.travel_state
            if q.when:
                if names_state(q.when, real):
                    out.append(s)
            elif not any(names_state(p.when, real) for p in rivals):
                out.append(s)
        return out


def names_state(when, state):
    return {'alone': state == 'vehicle_alone', 'coupled': state.startswith('coupled'),
            'slack': state == 'coupled_slack', 'tensioned': state == 'coupled_tensioned'}[when]


def day(text, region):
    if '/' in text:
        a, b, c = text.split()[0].split('/')
        d, m = (b, a) if region == 'us' else (a, b)
        return datetime.date(int(c), int(m), int(d))
    return datetime.date(*map(int, text[:10].split('-')))


# ---------------------------------------------------------------- the model
def mpe(cls, load, e):
    """Maximum permissible error on initial verification, OIML R 76-1:2006 Table 6, for a load."""
    if cls == 'none':
        return F(0)
    n = load / e
    if cls == 'III L':
        return F(1, 2) * e * max(1, math.ceil(n / 500))
    bounds = (50, 200) if cls == 'IIII' else (500, 2000)
    return e * (F(1, 2) if n <= bounds[0] else F(1) if n <= bounds[1] else F(3, 2))


class Model:
    """The system of a job. Columns: atoms in four states, masses, r, q, gains, zeros."""

    def __init__(self, job):
        self.j = job
        j = job
        self.col = {}
        for s in STATES:
            groups = j.heads(s)
            for g in groups:
                for a in (j.atoms(g) if g != 'nose' else [('nose', 0, '')]):
                    self.add((s,) + a)
        self.named = [l for l in j.loads.values() if any(l.name in r.without + r.with_ for r in j.used)]
        for l in self.named:
            self.add(('mass', l.name))
        self.obs = []            # dicts: name, row, value, u, kind
        self.shares_used = {}
        rows = [(r, self.reading_row(r)) for r in j.used]
        self.constraints()
        self.gains()
        for r, terms in rows:
            self.observe('reading', r, terms, r.kg, self.reading_u(r))
        for l in self.named:
            self.observe('load', l.name, {('mass', l.name): 1.0}, l.mass, l.u)
        for key, (value, u) in self.shares_used.items():
            self.observe('share', key, {key: 1.0}, value, u)
        for s in self.scales:
            self.observe('scale', s.name, {('gain', s.name): 1.0}, 0.0, s.gain_u)
        for s in self.scales:
            if s.empties:
                self.observe('zero', s.name, {('zero', s.name): 1.0}, *self.zero_observed(s))
        if j.kind == 'drawbar':                       # the drawbar's own weight
            self.observe('drawbar', 'drawbar', self.download_terms(), 0.0, 25.0)

    def add(self, key):
        self.col.setdefault(key, len(self.col))

    def vec(self, terms):
        v = np.zeros(len(self.col))
        for k, c in terms.items():
            v[self.col[k]] += c
        return v

    def observe(self, kind, name, terms, value, u):
        self.obs.append(dict(kind=kind, name=name, terms=terms, value=value, u=u))

    # -- loads on supports
    def part(self, l, state, group):
        """What a load puts on a group (or the coupling): (coefficient of its mass, coefficient of r)."""
        j = self.j
        if l.on == 'vehicle':
            if group not in ('front', 'rear'):
                return (0.0, 0.0)
            if l.at == 0:
                f = 0.0
            elif l.at is None or j.w is None:
                return (1.0, -1.0) if group == 'front' else (0.0, 1.0)
            else:
                f = l.at / j.w
            return (1.0 - f, 0.0) if group == 'front' else (f, 0.0)
        length = j.n if state == 'trailer_alone' and group != 'coupling' else j.L
        if l.at == 0 or j.kind == 'drawbar':
            down = (0.0, 0.0)
        elif l.at is None or length is None:
            down = (0.0, 1.0)
        else:
            down = (l.at / length, 0.0)
        ratio = j.a / j.w if j.a is not None and j.w is not None else 0.0 if j.kind == 'semi' else 0.45
        c = {'front': -ratio, 'rear': 1 + ratio, 'trailer': -1.0, 'nose': 1.0, 'coupling': 1.0}[group]
        if state == 'trailer_alone' and group in ('front', 'rear'):
            return (0.0, 0.0)
        m, r = c * down[0], c * down[1]
        return (m + 1.0, r) if group == 'trailer' else (m, r)

    def load_terms(self, l, state, atoms):
        """Load of l on a set of atoms as terms in its mass, r and q."""
        j, terms = self.j, {}

        def put(k, c):
            terms[k] = terms.get(k, 0.0) + c
        for g in sorted({a[0] for a in atoms}):
            mine = [a for a in atoms if a[0] == g]
            m, r = self.part(l, state, g)
            all_ = j.atoms(g) if g in ('front', 'rear', 'trailer') else [(g, 0, '')]
            put(('mass', l.name), m * len(mine) / len(all_))
            put(('r', l.name), r * len(mine) / len(all_))
            sides = len([a for a in mine if a[2] == 'left']) - len([a for a in mine if a[2] == 'right'])
            axles = j.axles[g] if j.by_axle.get(g) else 1
            if sides:
                put(('q', l.name, g), sides / axles)
        return {k: c for k, c in terms.items() if abs(c) > 1e-12}

    def r_observed(self, l):
        if l.on == 'vehicle':
            return l.mass / 2, l.mass / (2 * math.sqrt(3))
        return (0.35 if self.j.kind == 'semi' else 0.1) * l.mass, 0.2 * l.mass

    def q_observed(self, l, g):
        r = self.r_observed(l)[0]
        big = 0.0
        for x in self.j.used:
            if l.name in x.without + x.with_:
                m, c = self.part(l, x.state, g)
                big = max(big, abs(m * l.mass + c * r))
        return 0.0, big / (2 * math.sqrt(3))

    def reading_row(self, r):
        terms = {}
        if r.atoms == frozenset([('coupling', 0, '')]):
            terms.update(self.download_terms())
        else:
            for a in r.atoms:
                terms[(r.state,) + a] = 1.0
        for names, sign in ((r.without, -1.0), (r.with_, 1.0)):
            for n in names:
                l = self.j.loads[n]
                for k, c in self.load_terms(l, r.state, r.atoms).items():
                    if k[0] in ('r', 'q') and k not in self.shares_used:
                        value, u = self.r_observed(l) if k[0] == 'r' else self.q_observed(l, k[2])
                        if u == 0:
                            continue
                        self.shares_used[k] = (value, u)
                        self.add(k)
                    terms[k] = terms.get(k, 0.0) + sign * c
        r.pure = dict(terms)
        self.add(('gain', r.scale.name))
        terms[('gain', r.scale.name)] = r.kg
        if r.scale.empties:
            self.add(('zero', r.scale.name))
            terms[('zero', r.scale.name)] = float(self.weighers(r))
        return terms

    def zero_observed(self, s):
        """The common zero of a scale whose empty deck was read: (value, u)."""
        e = float(max(r.e for r in s.empties))
        if all(2 * abs(r.exact) <= r.e for r in s.empties):
            return 0.0, e / (4 * math.sqrt(3))
        return float(sum(r.exact for r in s.empties) / len(s.empties)), e / math.sqrt(12)

    def download_terms(self):
        t = {}
        for g in ('front', 'rear'):
            for a in self.j.atoms(g):
                t[('coupled_slack',) + a] = 1.0
                t[('vehicle_alone',) + a] = -1.0
        return t

    def constraints(self):
        j, rows = self.j, []
        total = lambda s: {k: 1.0 for k in self.col if k[0] == s}
        one = total('coupled_slack')
        for s in ('vehicle_alone', 'trailer_alone'):
            one.update({k: -1.0 for k in total(s)})
        two = total('coupled_tensioned')
        two.update({k: -1.0 for k in total('coupled_slack')})
        self.cons = [one, two]

    def weighers(self, r):
        """k: the pads under the supports read."""
        if not r.scale.deck.startswith('pads') or ('coupling', 0, '') in r.atoms:
            return 1
        k = 0
        for g in {a[0] for a in r.atoms}:
            mine = [a for a in r.atoms if a[0] == g]
            if g == 'nose':
                k += 1
                continue
            for a in mine:
                axles = 1 if self.j.by_axle[g] else self.j.axles[g]
                k += axles * (1 if a[2] else 2)
        return k

    def gains(self):
        j = self.j
        self.scales = []
        for s in j.scales.values():
            mine = [r for r in j.used if r.scale is s]
            if not mine:
                continue
            self.scales.append(s)
            x, e = max(((r.exact / self.weighers(r), r.e) for r in mine), key=lambda p: p[0])
            if s.expanded is not None:
                s.gain_u = s.expanded / 2 / (s.stated if s.stated is not None else float(x))
                continue
            if s.cls == 'none':                       # a gauge that nobody certified
                s.gain_u = max(0.03 * float(x), 3.0) / 2 / float(x)
                continue
            fixed = (100 if s.cls == 'IIII' else 500) * e
            s.gain_u = min(2 * float(mpe(s.cls, y, e)) / (math.sqrt(3) * float(y)) for y in (x, fixed))

    def reading_u(self, r):
        j = self.j
        k, e = self.weighers(r), float(r.e)
        twins = [x for x in j.used if (x.scale, x.setup, x.state, x.atoms) == (r.scale, r.setup, r.state, r.atoms)]
        m = len(twins)
        p = float(mpe(r.scale.cls, r.exact / k, r.e))
        coupling = ('coupling', 0, '') in r.atoms
        whole = r.atoms == j.whole(r.setup)
        if coupling:
            split = 5.0 if j.axles['trailer'] >= 2 else 3.0
        elif r.scale.deck == 'single':
            split = 0.0 if whole else 10.0
        elif r.scale.deck == 'pads':
            split = 0.005 * r.kg
        elif r.scale.deck == 'pads_in_turn':
            split = 0.01 * r.kg
        else:
            split = 0.0
        if r.scale.split is not None and not (r.scale.deck == 'single' and whole and not coupling):
            split = r.scale.split
        zero = 0.0 if r.scale.empties else (e / 4) ** 2 / 3
        u2 = k * (e * e / 12 + zero) + m * (k * p * p / 3 + split * split)
        if (j.a is None or j.w is None) and r.setup == 'coupled':
            groups = {a[0] for a in r.atoms}
            if ('front' in groups) != ('rear' in groups):
                for n in r.without + r.with_:
                    if j.loads[n].on == 'trailer':
                        u2 += m * (0.015 * j.loads[n].mass) ** 2
        return math.sqrt(u2)

    # -- ties
    def tie_list(self):
        j = self.j
        has = lambda *ss: any(r.state in ss for r in j.used)
        w, a, L, n, u = j.w, j.a, j.L, j.n, j.ul
        d = self.download_terms()

        def grp(s, g, c=1.0):
            return {k: c for k in self.col if k[0] == s and len(k) == 4 and k[1] == g}
        out = []
        if a is not None and w and has('vehicle_alone') and has('coupled_slack', 'coupled_tensioned'):
            t = grp('coupled_slack', 'front')
            t.update(grp('vehicle_alone', 'front', -1.0))
            out.append(('vehicle', merge(t, d, a / w), d, u * math.hypot(1 / w, a / w ** 2), vehicle_t(j),
                        [('rear_axle_to_coupling', u / w), ('wheelbase', u * a / w ** 2)]))
        if L and n and has('trailer_alone') and j.kind != 'drawbar':
            out.append(('nose', merge(grp('trailer_alone', 'nose'), d, -L / n), d, u * math.hypot(1 / n, L / n ** 2),
                        20.0 if j.axles['trailer'] >= 2 and not j.rocker else 5.0,
                        [('coupling_to_trailer_axle', u / n), ('nose_support_to_trailer_axle', u * L / n ** 2)]))
        if a is not None and w and L and has('coupled_tensioned'):
            t = grp('coupled_tensioned', 'front')
            t.update(grp('coupled_slack', 'front', -1.0))
            b = grp('coupled_tensioned', 'trailer')
            b.update(grp('coupled_slack', 'trailer', -1.0))
            c = (L + a) / w
            big = max(j.axles['rear'], j.axles['trailer']) >= 2
            out.append(('hitch', merge(t, b, -c), b, u * math.sqrt(2 / w ** 2 + (L + a) ** 2 / w ** 4), 10.0 if big else 5.0,
                        [('coupling_to_trailer_axle', u / w), ('rear_axle_to_coupling', u / w), ('wheelbase', u * (L + a) / w ** 2)]))
        return out


def vehicle_t(j):
    return 15.0 if j.axles['rear'] >= 2 else 10.0 if j.axles['trailer'] >= 2 else 5.0


def merge(a, b, c):
    out = dict(a)
    for k, v in b.items():
        out[k] = out.get(k, 0.0) + c * v
    return out


class Solution:
    def __init__(self, model, ties=True):
        self.m, self.moved = model, {}
        base = list(model.obs)
        listed = model.tie_list() if ties else []
        amount = {t[0]: 0.0 for t in listed}
        previous = None
        self.late = None
        for round_ in range(1, 21):
            obs = base + [dict(kind='tie', name=n, terms=terms, value=0.0, t=t, u=math.hypot(t, amount[n] * ur),
                               lengths=[(k, amount[n] * d) for k, d in partials]) for n, terms, amt, ur, t, partials in listed]
            self.solve(obs)
            if previous is not None:
                self.late = np.abs(self.x - previous)
                if np.max(self.late[self.loadcols]) <= 1e-6:
                    self.late = None
                    break
            previous = self.x.copy()
            for n, terms, amt, ur, t, partials in listed:
                v, u = self.linear(amt)
                amount[n] = v if v is not None else 0.0
            if not listed:
                self.late = None
                break

    def solve(self, obs):
        m = self.m
        n = len(m.col)
        self.obs = obs
        self.loadcols = [i for k, i in m.col.items() if k[0] in STATES]
        C = np.array([m.vec(c) for c in m.cons])
        _, s, vt = np.linalg.svd(C)
        Z = vt[len(s):].T
        A = np.array([m.vec(o['terms']) / o['u'] for o in obs]).reshape(len(obs), n)
        b = np.array([o['value'] / o['u'] for o in obs])
        B = A @ Z
        # columns of the whole system scaled to length 1, in the original columns
        norm = np.linalg.norm(np.vstack([A, C]), axis=0)
        norm[norm == 0] = 1
        Zs = np.linalg.qr(Z * norm[:, None])[0]      # same subspace in scaled columns
        Bs = (A / norm) @ Zs
        U, s, Vt = np.linalg.svd(Bs, full_matrices=True)
        rank = int(np.sum(s > 1e-9 * (s[0] if len(s) else 0)))
        self.rank = rank
        P = Vt[:rank].T @ np.diag(1 / s[:rank]) @ U[:, :rank].T
        T = (Zs / norm[:, None])
        self.S = T @ P                                # d x / d (weighted observation)
        self.x = self.S @ b
        N = T @ Vt[rank:].T
        self.N = np.linalg.qr(N)[0] if N.shape[1] else N
        self.res = b - A @ self.x
        H = U[:, :rank] @ U[:, :rank].T
        self.R = np.eye(len(obs)) - H
        self.red = np.clip(np.diag(self.R), 0, 1)
        self.chi2 = float(self.res @ self.res)
        self.dof = len(obs) - rank
        for i, o in enumerate(obs):
            o['residual'] = float(self.res[i] * o['u'])
            o['red'] = float(self.red[i])
            ok = o['red'] >= 0.01
            o['w'] = float(self.res[i] / math.sqrt(o['red'])) if ok else None
            o['mde'] = 4.1321 * o['u'] / math.sqrt(o['red']) if ok else None
            o['suspect'] = ok and abs(o['w']) > 3.2905

    def sens(self, terms):
        """d value / d weighted observation."""
        return self.m.vec(terms) @ self.S

    def linear(self, terms, limit=True):
        v = self.m.vec(terms)
        size = np.linalg.norm(v)
        if size == 0 or self.N.shape[1] and np.linalg.norm(v @ self.N) > 1e-6 * size:
            return None, None
        u = float(np.linalg.norm(v @ self.S))
        if limit and 2 * u > 500:
            return None, None
        return float(v @ self.x), u

    def p_value(self):
        return chi2_tail(self.chi2, self.dof) if self.dof > 0 else None


def chi2_tail(x, k):
    """Upper tail of chi-square by the finite series for whole degrees of freedom."""
    if x <= 0:
        return 1.0
    h = x / 2
    if k % 2 == 0:
        term = total = math.exp(-h)
        for i in range(1, k // 2):
            term *= h / i
            total += term
        return total
    total = math.erfc(math.sqrt(h))
    term = math.exp(-h) * math.sqrt(h) / (math.sqrt(math.pi) / 2)
    for i in range(1, (k + 1) // 2):
        total += term
        term *= h / (i + 0.5)
    return total


# ---------------------------------------------------------------- results
class Result:
    def __init__(self, job, rule='guarded'):
        self.j, self.rule = job, rule
        self.m = Model(job)
        self.s = Solution(self.m)
        self.free = Solution(self.m, ties=False)
        # the solve above overwrote the shared observations: take them again from the full one
        self.s.solve(self.s.obs)
        self.agreement()
        self.quantities()
        self.checks()
        self.verdict_()

    def agreement(self):
        s = self.s
        p = s.p_value()
        self.strain = 1.0
        if s.dof <= 0:
            self.agree = 'untested'
        elif p < 0.001 or any(o['suspect'] for o in s.obs):
            self.agree = 'conflict'
        elif p < 0.05:
            self.agree = 'strained'
            self.strain = math.sqrt(s.chi2 / s.dof)
        else:
            self.agree = 'agree'

    # -- quantities
    def sum_terms(self, state, group, axle=0, side=''):
        atoms = self.j.atoms_in(group, axle, side)
        return None if atoms is None else {(state,) + a: 1.0 for a in atoms}

    def weighed(self, state, atoms):
        for r in self.j.used:
            if r.state == state and r.atoms == atoms:
                return True
        return False

    def basis(self, name, terms, weighed):
        if weighed:
            return 'weighed'
        return 'moment' if self.free.linear(terms)[0] is None else 'difference'

    def put(self, name, terms, weighed=False, offset=0.0, sign=1.0, extra=0.0):
        v, u = self.s.linear(terms)
        if v is not None and 2 * math.hypot(u, extra) > 500:
            v = None
        if v is not None and self.s.late is not None:
            if np.abs(self.m.vec(terms)) @ self.s.late > 0.01:
                v = None
        if v is None:
            self.q[name] = None
            return
        self.lin[name] = (v, u, terms)
        self.q[name] = dict(value_kg=offset + sign * v, u_kg=math.hypot(u, extra), basis=self.basis(name, terms, weighed))
        self.budget(name, sign * self.s.sens(terms), [('unmodelled', extra)])

    def budget(self, name, sens, extra=()):
        parts, lengths = [], {}
        for o, c in zip(self.s.obs, sens):
            if o['kind'] != 'tie':
                parts.append((cause(o), abs(float(c))))
                continue
            parts.append((cause(o), abs(float(c)) * o['t'] / o['u']))
            for k, v in o['lengths']:
                lengths['length ' + k] = math.hypot(lengths.get('length ' + k, 0.0), v * float(c) / o['u'])
        for k, v in extra:
            lengths[k] = math.hypot(lengths.get(k, 0.0), v)
        parts += lengths.items()
        parts = [(n, math.sqrt(sum(v * v for k, v in parts if k == n))) for n in sorted({p[0] for p in parts})]
        self.budgets[name] = sorted((p for p in parts if p[1] > 1e-9), key=lambda p: -p[1])

    def quantities(self):
        j = self.j
        self.q, self.lin, self.budgets = {}, {}, {}
        veh, trl = ['front', 'rear'], ['trailer']
        for s in STATES:
            groups = {'vehicle_alone': veh, 'trailer_alone': trl + ['nose']}.get(s, veh + trl)
            for g in groups:
                if g == 'nose' and j.kind == 'drawbar':
                    self.q['trailer_alone.nose'] = None
                    continue
                self.finer(s, g)
            if s != 'trailer_alone':
                t = merge(self.sum_terms(s, 'front'), self.sum_terms(s, 'rear'), 1.0)
                self.put(s + '.vehicle', t, self.weighed(s, frozenset(j.atoms('front') + j.atoms('rear'))))
        T = {('trailer_alone',) + a: 1.0 for a in j.whole('trailer_alone')}
        self.put('trailer_mass', T, self.weighed('trailer_alone', j.whole('trailer_alone')))
        comb = {k: 1.0 for k in self.m.col if k[0] == 'coupled_slack'}
        self.put('combination', comb, any(self.weighed(s, j.whole('coupled')) for s in STATES[2:]))
        D = self.m.download_terms()
        gauge = any(('coupling', 0, '') in r.atoms for r in j.used)
        self.put('download', D, gauge)
        lift = merge(self.sum_terms('vehicle_alone', 'front'), self.sum_terms('coupled_slack', 'front'), -1.0)
        self.put('front_lift', lift)
        rest = merge(self.sum_terms('coupled_tensioned', 'front'), self.sum_terms('coupled_slack', 'front'), -1.0)
        self.put('front_restored', rest)
        self.terms = dict(T=T, comb=comb, D=D, lift=lift, rest=rest)
        self.ratios()
        self.payloads()

    def finer(self, s, g):
        j = self.j
        name = s + '.' + g
        w = lambda atoms: self.weighed(s, frozenset(atoms))
        if g == 'nose':
            self.put(name, {(s, 'nose', 0, ''): 1.0}, w([('nose', 0, '')]))
            return
        self.put(name, self.sum_terms(s, g), w(j.atoms(g)))
        axles = range(1, j.axles[g] + 1) if j.by_axle[g] else []
        sides = ['left', 'right'] if j.by_side[g] else []
        for i in axles:
            self.put('%s.%d' % (name, i), self.sum_terms(s, g, i), w(j.atoms_in(g, i, '')))
            for d in sides:
                self.put('%s.%d.%s' % (name, i, d), self.sum_terms(s, g, i, d), w(j.atoms_in(g, i, d)))
        for d in sides:
            self.put('%s.%s' % (name, d), self.sum_terms(s, g, 0, d), w(j.atoms_in(g, 0, d)))

    def nonlinear(self, name, value, parts, lengths, unit):
        """parts: [(quantity name, derivative)], lengths: [(name, derivative)]."""
        if value is None:
            self.q[name] = None
            return
        sens = sum(d * self.s.sens(self.lin[n][2]) for n, d in parts)
        extra = [('length ' + n, d * self.j.ul) for n, d in lengths]
        u = math.sqrt(float(sens @ sens) + sum(v * v for _, v in extra))
        self.q[name] = {'value' + unit: value, 'u' + unit: u}
        self.budget(name, sens, extra)

    def ratios(self):
        j, val = self.j, lambda n: self.q[n]['value_kg'] if self.q.get(n) else None
        w, a, L = j.w, j.a, j.L
        D, T, lift, rest = val('download'), val('trailer_mass'), val('front_lift'), val('front_restored')
        ok = D is not None and T is not None and T != 0
        self.nonlinear('download_share', D / T if ok else None,
                       [('download', 1 / T), ('trailer_mass', -D / T ** 2)] if ok else [], [], '')
        ok2 = ok and L is not None and j.kind != 'drawbar'  # a hinged drawbar's download does not tell where the mass is
        self.nonlinear('trailer_cg', L * D / T if ok2 else None,
                       [('download', L / T), ('trailer_mass', -L * D / T ** 2)] if ok2 else [],
                       [('coupling_to_trailer_axle', D / T)] if ok2 else [], '_mm')
        ok = rest is not None and lift is not None and lift > 2 * self.q['front_lift']['u_kg']
        self.nonlinear('restoration', rest / lift if ok else None,
                       [('front_restored', 1 / lift), ('front_lift', -rest / lift ** 2)] if ok else [], [], '')
        ok = rest is not None and None not in (w, a, L)
        if ok:
            f = w * L / (L + a) / 1000
            g = rest / 1000
            self.nonlinear('hitch_moment', rest * f, [('front_restored', f)],
                           [('wheelbase', g * L / (L + a)), ('coupling_to_trailer_axle', g * w * a / (L + a) ** 2),
                            ('rear_axle_to_coupling', -g * w * L / (L + a) ** 2)], '_kgm')
        else:
            self.q['hitch_moment'] = None
        V, R = val('vehicle_alone.vehicle'), val('vehicle_alone.rear')
        ok = V is not None and R is not None and w is not None and V != 0
        self.nonlinear('vehicle_cg', w * R / V if ok else None,
                       [('vehicle_alone.rear', w / V), ('vehicle_alone.vehicle', -w * R / V ** 2)] if ok else [],
                       [('wheelbase', R / V)] if ok else [], '_mm')

    def empty(self, on):
        for word in ('kerb', 'tare', 'running_order'):
            for q in self.j.ratings:
                if q.rating == word and q.on == on and q.status == 'held' and not q.set:
                    return float(dec(q.value, q.unit))
        return None

    def least(self, rating, state):
        lines = [q for q in self.j.ratings if q.rating == rating and q.status == 'held' and not q.set and state in q.states]
        return min((float(dec(q.value, q.unit)) for q in lines), default=None)

    def payloads(self):
        j = self.j
        V = merge(self.sum_terms(j.travel_state, 'front'), self.sum_terms(j.travel_state, 'rear'), 1.0)
        T = self.terms['T']
        vw = self.weighed(j.travel_state, frozenset(j.atoms('front') + j.atoms('rear')))
        tw = self.weighed('trailer_alone', j.whole('trailer_alone'))
        for name, terms, weighed, offset, sign in (
                ('payload_used', V, vw, neg(self.empty('vehicle')), 1.0),
                ('payload_left', V, vw, self.least('gvm', j.travel_state), -1.0),
                ('trailer_payload_used', T, tw, neg(self.empty('trailer')), 1.0),
                ('trailer_payload_left', T, tw, self.least('atm', ''), -1.0)):
            if offset is None:
                self.q[name] = None
            else:
                self.put(name, terms, weighed, offset, sign)
        kerb = self.empty('vehicle')
        if kerb is None:
            self.q['unlisted'] = None
            return
        t = merge(self.sum_terms('vehicle_alone', 'front'), self.sum_terms('vehicle_alone', 'rear'), 1.0)
        offset, extra, alone = -kerb, 0.0, True
        withs = {n for r in j.readings for n in r.with_}
        for l in j.loads.values():
            if l.on != 'vehicle' or l.name in withs or l.set:
                continue
            alone = False
            if ('mass', l.name) in self.m.col:
                t[('mass', l.name)] = t.get(('mass', l.name), 0.0) - 1.0
            else:
                offset -= l.mass
                extra = math.hypot(extra, l.u)
        direct = self.weighed('vehicle_alone', j.whole('vehicle_alone')) and alone
        self.put('unlisted', t, direct, offset, 1.0, extra)

    # -- routes
    def routes(self):
        """The download by each route the tickets allow: name -> (value, u)."""
        j, out = self.j, {}
        inside = lambda r, groups: {a[0] for a in r.atoms} <= groups
        slack = lambda r: r.state == 'coupled_slack'
        kept = {'trailer': lambda r: inside(r, {'trailer', 'nose'}) and (r.state == 'trailer_alone' or slack(r)),
                'vehicle': lambda r: inside(r, {'front', 'rear'}) and (r.state == 'vehicle_alone' or slack(r)),
                'front_lift': lambda r: inside(r, {'front', 'rear'}) and (r.state == 'vehicle_alone' or slack(r)),
                'gauge': lambda r: inside(r, {'coupling'})}
        for name, keep in kept.items():
            terms = self.terms['lift'] if name == 'front_lift' else self.terms['D']
            s = self.alone(keep)
            v, u = s.linear(terms) if s else (None, None)
            if v is None:
                continue
            if name == 'front_lift':
                if not (j.a and j.w):
                    continue
                k = j.w / j.a
                t = vehicle_t(j)
                v, u = v * k, math.hypot(math.hypot(u, t) * k, v * j.ul * math.hypot(1 / j.a, j.w / j.a ** 2))
            if 2 * u <= 500:
                out[name] = (v, u)
        return out

    def alone(self, keep):
        """A solution from some readings only, with what is declared, and no ties."""
        obs = [dict(o) for o in self.s.obs if o['kind'] not in ('tie', 'drawbar') and (o['kind'] != 'reading' or keep(o['name']))]
        if not any(o['kind'] == 'reading' for o in obs):
            return None
        s = Solution.__new__(Solution)
        s.m, s.late = self.m, None
        s.solve(obs)
        return s

    # -- checks
    def checks(self):
        j = self.j
        self.rows = []
        sets = []
        for q in list(j.ratings) + list(j.loads.values()):
            if q.set and q.set not in sets:
                sets.append(q.set)
        for q in j.ratings:
            if q.status not in ('held', 'displaced') or q.rating in ('kerb', 'tare', 'running_order'):
                continue
            for name in ([''] + sets if not q.set else [q.set]):
                if name and not q.set and any(p.set == name and (p.rating, p.on) == (q.rating, q.on) and
                                              p.status in ('held', 'none') for p in j.ratings):
                    continue
                for s in q.states:
                    self.rows.append(self.row(q, s, name))
        self.floor()
        self.govern()

    def limit(self, q):
        """Limit of a line and, for tyres and wheels, whether dual."""
        j = self.j
        if q.rating not in ('tyre', 'wheel'):
            return float(dec(q.value, q.unit)) if q.rating != 'd_value' else float(q.value)
        g, axle, side = self.place(q)
        axles = 1 if axle else j.axles[g]
        fitted = q.fitted or axles * (1 if side else 2)
        q.per_axle = F(fitted, axles)                    # tyres of an axle, or of its side
        dual = q.per_axle == 2 if side else q.per_axle == 4
        if q.unit:
            v = float(dec(q.value, q.unit))
        else:
            single, _, two = q.value.partition('/')
            v = INDEX[int(two if dual and two else single)]
        if j.region == 'us' and q.rating == 'tyre' and q.kind == 'passenger' and g == 'trailer':
            v /= 1.10
        return v

    def place(self, q):
        head, *rest = q.on.split('.')
        return (head, next((int(x) for x in rest if x.isdigit()), 0),
                next((x for x in rest if x in ('left', 'right')), ''))

    def held(self, q, state, set_name):
        """[(terms, set part value, set part variance, divisor, assumed)] to hold the limit against."""
        j = self.j
        if q.rating in ('tyre', 'wheel'):
            g, axle, side = self.place(q)
            ends = F(q.per_axle, 1 if side else 2)       # tyres at one end of an axle
            out = []
            for i in ([axle] if axle else range(1, j.axles[g] + 1)):
                for d in ([side] if side else ['left', 'right']):
                    out.append(self.wheel(state, g, i, d, float(ends)))
            return out
        if q.rating == 'axle':
            g, axle, side = self.place(q)
            atoms = j.atoms_in(g, axle, side)
            return [((state, atoms), 1.0, False)]
        if q.rating == 'gvm':
            return [((state, j.atoms('front') + j.atoms('rear')), 1.0, False)]
        if q.rating == 'gtm' or q.rating == 'towing' and j.region == 'eu':
            return [((state, j.atoms('trailer')), 1.0, False)]
        if q.rating in ('atm', 'towing'):
            return [(('trailer_alone', sorted(j.whole('trailer_alone'))), 1.0, False)]
        if q.rating == 'gcm':
            return [(('coupled_slack', sorted(j.whole('coupled'))), 1.0, False)]
        return [(('D', None), 1.0, False)]

    def wheel(self, state, g, i, d, ends):
        """Where the load of one tyre comes from: the smallest support holding it whose load is determined."""
        j = self.j
        for axle, side, wheels in ((i, d, 1), (i, '', 2), (0, d, j.axles[g]), (0, '', 2 * j.axles[g])):
            if axle and j.axles[g] == 1:
                axle = 0
            atoms = j.atoms_in(g, axle, side)
            if atoms is not None and self.s.linear({(state,) + a: 1.0 for a in atoms})[0] is not None:
                return ((state, atoms), wheels * ends, wheels > 1)
        return ((state, None), 1.0, False)

    def set_load(self, state, atoms, set_name):
        """What the set's own loads put on atoms (None: the download): value, and coefficients of independent errors."""
        total, errors = 0.0, {}
        for l in self.j.loads.values():
            if not set_name or l.set != set_name:
                continue
            if atoms is None or {a[0] for a in atoms} == {'coupling'}:
                state, atoms = 'trailer_alone', [('coupling', 0, '')]
                if l.on != 'trailer':
                    continue
            if state == 'vehicle_alone' and l.on != 'vehicle' or state == 'trailer_alone' and l.on != 'trailer':
                continue
            groups = {a[0] for a in atoms}
            for k, c in self.m.load_terms(l, state, frozenset(atoms)).items():
                if k[0] == 'mass':
                    total, u = total + c * l.mass, l.u
                elif k[0] == 'r':
                    v, u = self.m.r_observed(l)
                    total += c * v
                else:
                    m, r = self.m.part(l, state, k[2])
                    u = abs(m * l.mass + r * self.m.r_observed(l)[0]) / (2 * math.sqrt(3))
                errors[k] = c * u
            if (self.j.a is None or self.j.w is None) and self.j.kind != 'drawbar' and l.on == 'trailer' and l.at != 0 and ('front' in groups) != ('rear' in groups):
                errors[('ratio', l.name)] = 0.015 * l.mass
        return total, errors

    def value_of(self, where, set_name):
        state, atoms = where
        if state == 'D':
            terms = self.terms['D']
        elif atoms is None:
            return None
        else:
            terms = {(state,) + a: 1.0 for a in atoms}
        v, u = self.s.linear(terms)
        if v is None:
            return None
        add, errors = self.set_load(state, atoms, set_name)
        return v + add, math.sqrt(u * u + sum(e * e for e in errors.values())), self.s.sens(terms), errors

    def row(self, q, state, set_name):
        j = self.j
        row = dict(rating=q.rating, on=q.on, state=state, set=set_name, line=q.line)
        limit = self.limit(q)
        kn = q.rating == 'd_value'
        best = None
        if kn:
            row['plated_kn'] = Plates(j, set_name).plated_dc()
            T = merge(self.sum_terms(j.travel_state, 'front'), self.sum_terms(j.travel_state, 'rear'), 1.0)
            vt = self.value_of((j.travel_state, j.atoms('front') + j.atoms('rear')), set_name)
            vc = self.value_of((j.travel_state, j.atoms('trailer')), set_name)
            if vt and vc:
                t, c = vt[0] / 1000, vc[0] / 1000
                g = 9.81
                dt, dc = g * (c / (t + c)) ** 2 / 1000, g * (t / (t + c)) ** 2 / 1000
                sens = dt * vt[2] + dc * vc[2]
                keys = set(vt[3]) | set(vc[3])
                var = sum((dt * vt[3].get(k, 0.0) + dc * vc[3].get(k, 0.0)) ** 2 for k in keys)
                best = (g * t * c / (t + c), math.sqrt(float(sens @ sens) + var), sens, False)
        else:
            found, lost = [], False
            for where, n, assumed in self.held(q, state, set_name):
                got = self.value_of(where, set_name)
                if got is None:
                    lost = True
                    continue
                v, u, sens = got[0] / n, got[1] / n, got[2] / n
                if assumed:
                    u = math.hypot(u, self.unequal(q) * v)
                found.append((v, u, sens, assumed))
            if found and not lost:
                best = max(found, key=lambda f: f[0])
                row['tied'] = len({tuple(np.round(f[2], 9)) for f in found if f[0] > best[0] - 1e-6}) > 1
        key = '_kn' if kn else '_kg'
        row['limit' + key] = limit
        if best is None:
            row.update({'value' + key: None, 'u' + key: None, 'margin' + key: None}, p_over=None, verdict='not_weighed',
                       needed_kg=None, checked=False, mistake_effect_kg=None)
            return row
        v, u, sens, assumed = best
        u *= self.strain
        low = q.rating == 'download_min'
        margin = v - limit if low else limit - v
        p = 0.5 * math.erfc(margin / u / math.sqrt(2))
        U = 2 * u
        if self.rule == 'simple':
            verdict = 'within' if margin >= 0 else 'over'
        elif low:
            verdict = 'within' if v - U >= limit else 'over' if v + U < limit else 'unsettled'
        else:
            verdict = 'within' if v + U <= limit else 'over' if v - U > limit else 'unsettled'
        needed = None
        if verdict in ('over', 'unsettled') and not low:
            needed = v + U if kn else math.ceil((v + U) / 10 - 1e-9) * 10
        row.update({'value' + key: v, 'u' + key: u, 'margin' + key: margin}, p_over=p, verdict=verdict,
                   needed_kg=needed, assumed=assumed)
        row.update(self.reliability(sens * 1000 / 9.81 if kn else sens))
        return row

    def unequal(self, q):
        """How far equal shares of tyres may be wrong: a group on springs whose axles were not read apart."""
        g = self.place(q)[0]
        springs = not (g == 'trailer' and self.j.rocker)
        return 0.12 if self.j.axles[g] >= 2 and springs and not self.j.by_axle[g] else 0.06

    def floor(self):
        """The download may not be below nothing, where it is determined."""
        if self.j.kind == 'drawbar':
            return
        got = self.value_of(('D', None), '')
        if got is None:
            return
        v, u, sens, _ = got
        u *= self.strain
        verdict = 'over' if v + 2 * u < 0 else 'unsettled' if v < 0 else 'within'
        row = dict(rating='download_min', on='', state='', set='', line=None, floor=True, limit_kg=0.0, value_kg=v, u_kg=u, margin_kg=v,
                   p_over=0.5 * math.erfc(v / u / math.sqrt(2)), verdict=verdict, needed_kg=None, assumed=False)
        row.update(self.reliability(sens))
        self.rows.append(row)

    def reliability(self, sens):
        checked, effect = True, None
        for o, c in zip(self.s.obs, sens):
            if o['kind'] != 'reading':
                continue
            d = abs(float(c)) / o['u']
            if o['red'] < 0.01:
                checked = checked and d <= 0.01
            elif d > 0.01:
                effect = max(effect or 0.0, d * o['mde'])
        return dict(checked=checked, mistake_effect_kg=effect)

    def only_tensioned(self, a):
        """Whether a row passes only because the hitch is tensioned."""
        if a['verdict'] != 'within':
            return False
        if a['state'] == 'coupled_tensioned':
            return any(x['verdict'] in ('over', 'unsettled') for x in self.rows if x['state'] == 'coupled_slack' and
                       (x['rating'], x['on'], x['set']) == (a['rating'], a['on'], a['set']))
        if a.get('floor'):
            return False
        q = next(x for x in self.j.ratings if x.line == a['line'])
        if a['state'] or q.when != 'tensioned':
            return False
        rivals = [p for p in self.j.ratings if (p.rating, p.on, p.set, p.status) == (q.rating, q.on, q.set, 'displaced')]
        return any(self.row(p, '', a['set'])['verdict'] in ('over', 'unsettled') for p in rivals)

    def quantity_key(self, q, state):
        if q.rating in ('gtm', 'towing', 'axle', 'atm', 'gvm'):
            w = self.held(q, state, '')[0][0]
            return (q.rating, w[0], tuple(sorted(w[1])) if w[1] else q.on)
        if q.rating in ('tyre', 'wheel'):
            self.limit(q)
            return (q.rating, q.on, state, float(q.per_axle))
        return (q.rating, state)

    def govern(self):
        best = {}
        for row in self.rows:
            if row['set'] or row.get('floor'):
                continue
            q = next(x for x in self.j.ratings if x.line == row['line'])
            row['key'] = self.quantity_key(q, row['state'])
            limit = row.get('limit_kg', row.get('limit_kn'))
            sign = -1 if q.rating == 'download_min' else 1
            if row['key'] not in best or sign * limit < best[row['key']][0] - 1e-9:
                best[row['key']] = (sign * limit, row)
        for row in self.rows:
            s = row['state']
            right = s == '' or s == self.j.travel_state or s == 'vehicle_alone' and row['verdict'] != 'not_weighed'
            row['decides'] = bool(row.get('floor') or not row['set'] and right and best[row['key']][1] is row)

    def verdict_(self):
        j = self.j
        given = set()
        for q in j.ratings:
            if q.set or q.status in ('replaced', 'other_kind', 'not_in_force', 'displaced'):
                continue
            if q.status == 'held' and q.states and not (set(q.states) & {'', j.travel_state}):
                continue
            given.add('axle ' + q.on if q.rating == 'axle' else q.rating)
        if j.region:
            usual = ['gvm', 'gcm', 'atm', 'axle front', 'axle rear', 'axle trailer or gtm', 'towing', 'download_max']
        else:
            usual = ['gvm', 'atm', 'axle front', 'axle rear', 'download_max']
        if j.kind == 'drawbar':
            usual.remove('download_max')
        if 'gtm' in given or 'axle trailer' in given:
            given.add('axle trailer or gtm')
        self.not_given = [x for x in usual if x not in given]
        dec_ = [r for r in self.rows if r['decides']]
        words = {r['verdict'] for r in dec_}
        self.questions = Questions(self).asked
        worst = self.over_with_left_out()
        if self.agree == 'conflict' or self.impossible() or self.contradicted():
            self.verdict = 'conflict'
        elif 'over' in words:
            self.verdict = 'over'
        elif 'unsettled' in words or worst:
            self.verdict = 'unsettled'
        elif 'not_weighed' in words or self.not_given or not [r for r in dec_ if not r.get('floor')]:
            self.verdict = 'incomplete'
        elif any(not answered for _, _, _, answered in self.questions):
            self.verdict = 'unconfirmed'
        else:
            self.verdict = 'within'

    def impossible(self):
        """A support, not by moments, that carries less than nothing by more than U; the nose only where weighed."""
        for name, q in self.q.items():
            state, _, support = name.partition('.')
            if state not in STATES or q is None or support == 'vehicle' or q['basis'] == 'moment':
                continue
            if support == 'nose' and q['basis'] != 'weighed':
                continue
            if q['value_kg'] + 2 * q['u_kg'] < 0:
                return True
        return False

    def contradicted(self):
        """A calculated figure that is no sum or difference of other lines of its ticket, which cover it."""
        for r in self.j.readings:
            if r.use != 'calculated' or r.empty or 'does_not_add_up' in r.confirmed:
                continue
            others = [x for x in self.j.readings if x is not r and x.ticket == r.ticket and x.use != 'no' and not x.empty]
            if len(others) < 2 or len(others) > 10:
                continue
            if r.terms and not self.covered(r, others):
                continue
            if not adds_up(r, others):
                return True
        return False

    def covered(self, r, others):
        have = set()
        for x in others:
            if x.terms:
                have |= {(g, i, d) for g, i, d in self.wheels(x)}
        need = self.wheels(r)
        if any(x.setup == 'coupled' for x in others):
            need = {w for w in need if w[0] not in ('nose', 'coupling')}
        return need <= have

    def wheels(self, r):
        out = set()
        for g, axle, side in self.j.expand(r.setup, r.terms):
            for i in ([axle] if axle else range(1, self.j.axles.get(g, 1) + 1)):
                out |= {(g, i, d) for d in ([side] if side else ['left', 'right'])}
        return out

    def over_with_left_out(self):
        """Whether a deciding check would be over with a line left out that disagrees and is not confirmed."""
        for r in self.disagreeing:
            if 'left_out_disagrees' in r.confirmed:
                continue
            job = Job(self.j.name, self.j.forms, self.j.region)
            for x in job.readings:
                if (x.line, x.column) == (r.line, r.column):
                    x.use = 'yes'
            job.used = [x for x in job.readings if x.use == 'yes' and not x.empty]
            job.split_supports()
            other = Result.__new__(Result)
            other.j, other.rule = job, self.rule
            other.m = Model(job)
            other.s = Solution(other.m)
            other.free = Solution(other.m, ties=False)
            other.s.solve(other.s.obs)
            other.agreement()
            other.quantities()
            other.checks()
            if any(x['verdict'] == 'over' and x['decides'] for x in other.rows):
                return True
        return False


def adds_up(r, others):
    def go(i, added, taken, sum_, e):
        if i == len(others):
            n = added + taken
            fits = n >= 1 and (added == 1 or added > 1 and taken == 0)
            return fits and abs(r.exact - sum_) <= max(F(n, 2), 1) * e
        x = others[i]
        return (go(i + 1, added, taken, sum_, e) or go(i + 1, added + 1, taken, sum_ + x.exact, max(e, x.e)) or
                go(i + 1, added, taken + 1, sum_ - x.exact, max(e, x.e)))
    return go(0, 0, 0, F(0), F(0))


class Questions:
    """What is hardly right, in the order of the contract: [(code, file, line, answered)]."""

    def __init__(self, res):
        self.r, self.j, self.s = res, res.j, res.s
        self.asked = []
        self.T, self.V = res.q['trailer_mass'], res.q['vehicle_alone.vehicle']
        self.D = res.q['download']
        self.of_readings()
        self.plates = Plates(self.j)
        self.of_ratings()

    def line(self, terms):
        sens = self.s.sens(terms)
        best, at = 0.0, None
        for o, c in zip(self.s.obs, sens):
            if o['kind'] == 'reading' and round(abs(float(c)) / o['u'], 9) > best:
                best, at = round(abs(float(c)) / o['u'], 9), o['name']
        return at

    def of(self, code, readings):
        for r in sorted((r for r in readings if r is not None), key=lambda r: r.line):
            self.asked.append((code, 'tickets.csv', r.line, code in r.confirmed))

    def of_readings(self):
        j, r = self.j, self.r
        light = []
        for g in ('front', 'rear'):
            for state in ('vehicle_alone', 'coupled_slack', 'coupled_tensioned'):
                a, v = r.q[state + '.' + g], r.q[state + '.vehicle']
                if a and v and a['value_kg'] + 2 * a['u_kg'] < 0.2 * v['value_kg']:
                    light.append(self.line(r.sum_terms(state, g)))
                    break
        self.of('axle_light', light)
        d, t = self.D, self.T
        alone = any(x.setup != 'coupled' for x in j.used)
        gauge = any('coupling' in x.terms for x in j.used)
        if d and j.kind != 'drawbar' and alone and not gauge:
            U = 2 * d['u_kg']
            if d['value_kg'] - U <= 0 or t and (d['value_kg'] + U) / t['value_kg'] < 0.03:
                self.of('not_uncoupled', [self.line(r.terms['D'])])
        if d and t and (d['value_kg'] - 2 * d['u_kg']) / t['value_kg'] > (0.5 if j.kind == 'semi' else 0.25):
            self.of('share_high', [self.line(r.terms['D'])])
        self.of('not_a_multiple', [x for x in j.used if x.left_aside or x.typed_e and (x.exact / x.e).denominator != 1])
        r.disagreeing = [x for x in j.readings if x.use == 'no' and not x.empty and x.terms and self.disagrees(x)]
        self.of('left_out_disagrees', r.disagreeing)
        every = []
        for l in j.loads.values():
            mine = [x for x in j.used if self.carries(x, l.on)]
            if len(mine) >= 2 and all(l.name in x.with_ for x in mine):
                every.append(mine[0])
        self.of('with_everywhere', every)
        self.of('bars_unknown', [x for x in j.used if x.hitch == 'unknown'][:1])
        if j.kind == 'centre_axle' and j.region in ('au', 'nz', 'us') and j.travels_blank and t and self.V and \
                not any(x.hitch_said for x in j.readings) and t['value_kg'] > self.V['value_kg'] * 2 / 3:
            line = j.o.get('_line')
            self.asked.append(('bars_not_stated', 'outfit.csv', line, False) if line else ('bars_not_stated', 'tickets.csv', 1, False))

    def carries(self, r, unit):
        groups = {g for g, _, _ in self.j.expand(r.setup, r.terms)}
        return bool(groups & {'front', 'rear'}) if unit == 'vehicle' else bool(groups & {'trailer', 'nose', 'coupling'})

    def disagrees(self, r):
        m = self.r.m
        atoms = set()
        for g, axle, side in self.j.expand(r.setup, r.terms):
            if g == 'coupling':
                atoms.add(('coupling', 0, ''))
                continue
            mine = self.j.atoms_in(g, axle, side)
            if mine is None:
                return False
            atoms |= set(mine)
        r.atoms = frozenset(atoms)
        terms = dict(m.download_terms()) if atoms == {('coupling', 0, '')} else {(r.state,) + a: 1.0 for a in atoms}
        for names, sign in ((r.without, -1.0), (r.with_, 1.0)):
            for n in names:
                for k, c in m.load_terms(self.j.loads[n], r.state, r.atoms).items():
                    if k not in m.col:
                        return False
                    terms[k] = terms.get(k, 0.0) + sign * c
        if ('gain', r.scale.name) in m.col:
            terms[('gain', r.scale.name)] = r.kg
        if ('zero', r.scale.name) in m.col:
            terms[('zero', r.scale.name)] = float(m.weighers(r))
        v, u = self.s.linear(terms)
        if v is None:
            return False
        twins, self.j.used = self.j.used, [x for x in self.j.used if False] + [r]
        own = m.reading_u(r)
        self.j.used = twins
        return abs(r.kg - v) > 2 * math.hypot(own, u)

    def ask(self, code, q):
        self.asked.append((code, 'ratings.csv', q.line, code in q.confirmed))

    def of_ratings(self):
        j, p = self.j, self.plates
        one = p.one
        gvm, gcm, atm, gtm = one('gvm'), one('gcm'), one('atm'), one('gtm')
        small = [q for w in ('gvm', 'gcm', 'atm', 'gtm') for q in [one(w)] if q and p.kg(q) < 200]
        small += [q for q in p.lines('axle') if p.kg(q) < 100]
        for q in sorted(small, key=lambda q: q.line):
            self.ask('rating_small', q)
        front, rear = p.axle('front'), p.axle('rear')
        both = front and rear and gvm
        far = both and front[0] + rear[0] > 2 * p.kg(gvm)
        if both and front[0] + rear[0] < p.kg(gvm) and not gvm.certificate:
            self.ask('axles_below_gvm', front[1])
        if far:
            self.ask('axles_far_above_gvm', front[1])
        if gvm and not far and not gvm.certificate:
            ones = [('front', front)] + ([('rear', rear)] if j.axles['rear'] == 1 else [])
            for q in sorted((a[1] for g, a in ones if a and a[0] > p.kg(gvm)), key=lambda q: q.line):
                self.ask('axle_above_gvm', q)
        heavy = [self.r.q[s + '.vehicle'] for s in ('vehicle_alone', 'coupled_slack', 'coupled_tensioned') if self.r.q[s + '.vehicle']]
        empty = lambda on: next((p.kg(q) for q in p.all if q.rating in ('kerb', 'tare', 'running_order') and q.on == on), None)
        if gvm and heavy:
            h = max(heavy, key=lambda q: q['value_kg'])
            k = empty('vehicle')
            if h['value_kg'] + 2 * h['u_kg'] < p.kg(gvm) / (2.5 if j.kind == 'semi' else 2) and not (k is not None and h['value_kg'] >= 0.9 * k):
                self.ask('gvm_far_above', gvm)
        if gcm and gvm and p.kg(gcm) < p.kg(gvm):
            self.ask('gcm_below_gvm', gcm)
        towing = p.towing
        heaviest = max([p.kg(q) for q in towing] + ([p.kg(atm)] if atm else []), default=None)
        if gcm and gvm and [q for q in towing if q.kind != 'unbraked'] and p.kg(gcm) > 1.1 * (p.kg(gvm) + heaviest):
            self.ask('gcm_above_sum', gcm)
        if gtm and atm and j.region != 'us' and p.kg(gtm) > p.kg(atm):
            self.ask('gtm_above_atm', gtm)
        if atm and self.T and j.kind != 'semi':
            k = empty('trailer')
            if self.T['value_kg'] + 2 * self.T['u_kg'] < p.kg(atm) / 4 and not (k is not None and self.T['value_kg'] >= 0.9 * k):
                self.ask('atm_far_above', atm)
        down = p.lowest('download_max')
        if down and towing and j.kind != 'semi' and p.kg(down) > 0.25 * heaviest:
            self.ask('download_far_above', down)
        axle = p.get('axle', 'trailer')
        base = p.kg(gtm) if gtm else p.kg(atm) - p.kg(down) if atm and down else None
        if axle and base is not None and (j.axles_known['trailer'] or 1) >= 2 and p.kg(axle) < 0.7 * base:
            self.ask('axle_each', axle)


class Plates:
    """The blank-when lines in force, with a set's in place of those they replace; of several of one word and on the governing one."""

    def __init__(self, job, set_name=''):
        self.j = job
        ok = [q for q in job.ratings if not q.when and q.value != 'none' and q.status in ('held', 'displaced')]
        planned = [q for q in ok if set_name and q.set == set_name]
        replaced = {(q.rating, q.on) for q in planned}
        self.all = [q for q in ok if q in planned or not q.set and (q.rating, q.on) not in replaced]
        self.towing = [q for q in job.ratings if q.rating == 'towing' and not q.set and q.value != 'none' and
                       q.status in ('held', 'displaced', 'other_kind')]

    def kg(self, q):
        return float(dec(q.value, q.unit))

    def lines(self, word):
        best = {}
        for q in self.all:
            if q.rating == word and (q.on not in best or self.kg(q) < self.kg(best[q.on])):
                best[q.on] = q
        return list(best.values())

    def get(self, word, on):
        return next((q for q in self.lines(word) if q.on == on), None)

    def one(self, word):
        return self.get(word, '')

    def lowest(self, word):
        return min(self.lines(word), key=self.kg, default=None)

    def axle(self, g):
        """(kg, line) of a group: its own line, else the sum of its axles'."""
        q = self.get('axle', g)
        if q:
            return self.kg(q), q
        each = [self.get('axle', '%s.%d' % (g, i)) for i in range(1, (self.j.axles_known[g] or 0) + 1)]
        if each and all(each):
            return sum(self.kg(q) for q in each), each[0]
        return None

    def plated_dc(self):
        """Dc of the plated vehicle and of the trailer's axles as plated: gtm, else their axle rating."""
        gvm, gtm, axle = self.one('gvm'), self.one('gtm'), self.axle('trailer')
        c = self.kg(gtm) if gtm else axle[0] if axle else None
        if not gvm or c is None:
            return None
        t, c = self.kg(gvm) / 1000, c / 1000
        return 9.81 * t * c / (t + c)


def neg(x):
    return None if x is None else -x


def cause(o):
    n = o['name']
    if o['kind'] == 'reading':
        return 'reading %d%s' % (n.line, ' ' + n.column if n.column else '')
    if o['kind'] == 'share':
        return 'share ' + n[1]
    if o['kind'] == 'zero':
        return 'scale ' + n
    return o['kind'] + ' ' + n


# ---------------------------------------------------------------- comparison
class Compare:
    def __init__(self, title):
        self.title, self.count, self.bad = title, 0, []

    def same(self, where, mine, theirs, tol=1e-3):
        self.count += 1
        if isinstance(mine, str) or isinstance(mine, bool) or mine is None or theirs is None:
            ok = mine == theirs
        else:
            ok = abs(float(mine) - float(theirs)) <= tol * max(1.0, 1e-3 * abs(float(mine)) if tol < 1e-3 else 1.0)
        if not ok:
            self.bad.append('%s: %s: expected %r, got %r' % (self.title, where, mine, theirs))
        return ok


def compare(title, res, rec):
    c = Compare(title)
    c.same('verdict', res.verdict, rec['verdict'])
    c.same('agreement', res.agree, rec['agreement'])
    fit = rec['fit']
    c.same('fit.observations', len(res.s.obs), fit['observations'])
    for s, f, n in ((res.s, fit, 'fit'), (res.free, fit['without_ties'], 'without_ties')):
        c.same(n + '.dof', s.dof, f['dof'])
        c.same(n + '.chi_square', s.chi2, f['chi_square'], 1e-6 * max(1, s.chi2))
        c.same(n + '.p_value', s.p_value(), f['p_value'], 1e-6)
    for name in sorted(set(res.q) | set(rec['quantities'])):
        if name not in res.q or name not in rec['quantities']:
            c.bad.append('%s: quantity %s stands on one side only' % (title, name))
            continue
        a, b = res.q[name], rec['quantities'][name]
        if (a is None) != (b is None):
            c.bad.append('%s: quantity %s: expected %r, got %r' % (title, name, a, b))
            continue
        for k in a or {}:
            # a length's u follows from rounded kilograms that nearly cancel
            tol = 1e-6 if k in ('value', 'u') else 1e-3 + 1e-5 * abs(a[k]) if k == 'u_mm' else 1e-3
            c.same('quantity %s %s' % (name, k), a[k], b.get(k), tol)
    compare_observations(c, res, rec)
    compare_checks(c, res, rec)
    given = lambda x: 'axle trailer or gtm' if x['on'] == 'trailer_or_gtm' else (x['rating'] + ' ' + x['on']).strip()
    c.same('not_given', json.dumps(res.not_given), json.dumps([given(x) for x in rec['not_given']]))
    theirs = [(q['code'], q['file'], q['line'], q['answered']) for q in rec['questions'] if not q['args'].get('set')]
    c.same('questions', '; '.join('%s %s:%s %s' % q for q in res.questions), '; '.join('%s %s:%s %s' % q for q in theirs))
    for q, b in zip(res.j.ratings, rec['ratings']):
        c.same('rating line %d' % q.line, q.line, b['line'])
        c.same('rating line %d status' % q.line, q.status, b['status'])
    compare_budgets(c, res, rec)
    compare_routes(c, res, rec)
    compare_doubt(c, res, rec)
    return c


def compare_observations(c, res, rec):
    by = {o['name']: o for o in res.s.obs if o['kind'] == 'reading'}
    c.same('readings', len(res.j.readings), len(rec['readings']))
    for r, b in zip(res.j.readings, rec['readings']):
        t = 'reading %d %s ' % (r.line, r.column)
        c.same(t + 'use', r.use, b['use'])
        c.same(t + 'reading_kg', r.kg, float(b['reading_kg']))
        c.same(t + 'interval_kg', float(r.e), float(b['interval_kg']))
        o = by.get(r)
        if o is None:
            for k in ('u_kg', 'residual_kg', 'redundancy'):
                c.same(t + k, None, b[k])
            continue
        c.same(t + 'u', o['u'], b['u_kg'])
        c.same(t + 'residual', o['residual'], b['residual_kg'])
        one_observation(c, t, o, b)
        c.same(t + 'detectable', o['mde'], b['smallest_detectable_kg'], 1e-3 if o['mde'] is None else 1e-6 * o['mde'] + 1e-3)
        v = res.s.linear(r.pure)[0]
        c.same(t + 'reconciled', v, b['reconciled_kg'])
        c.same(t + 'correction', None if v is None else v - r.kg, b['correction_kg'])
    ties = [o for o in res.s.obs if o['kind'] == 'tie']
    c.same('ties', ' '.join(o['name'] for o in ties), ' '.join(b['name'] for b in rec['ties']))
    for o, b in zip(ties, rec['ties']):
        c.same('tie %s u' % o['name'], o['u'], b['u_kg'])
        c.same('tie %s residual' % o['name'], o['residual'], b['residual_kg'])
        one_observation(c, 'tie %s ' % o['name'], o, b)
    loads = {o['name']: o for o in res.s.obs if o['kind'] == 'load'}
    got = {b['load']: b for b in rec['loads']}
    for n, o in loads.items():
        if n not in got:
            c.bad.append('%s: load %s not in the record' % (c.title, n))
            continue
        b = got[n]
        v, u = res.s.linear({('mass', n): 1.0}, limit=False)
        c.same('load %s solved' % n, v, b['solved_kg'])
        c.same('load %s u' % n, u, b['u_kg'])
        c.same('load %s declared' % n, o['value'], float(b['declared_kg']))
        one_observation(c, 'load %s ' % n, o, b)


def one_observation(c, t, o, b):
    c.same(t + 'redundancy', o['red'], b['redundancy'], 1e-6)
    c.same(t + 'standardised', o['w'], b['standardised'], 1e-5)
    c.same(t + 'suspect', o['suspect'], b['suspect'])


def compare_checks(c, res, rec):
    ident = lambda r: '%s %s %s %s' % (r['rating'], r['on'], r['state'], r['set'])
    mine, theirs = [ident(r) for r in res.rows], [ident(r) for r in rec['checks']]
    c.same('rows of the checks', '; '.join(mine), '; '.join(theirs))
    if mine != theirs:
        return
    for a, b in zip(res.rows, rec['checks']):
        t = 'check ' + ident(a) + ' '
        unit = '_kn' if 'limit_kn' in a else '_kg'
        if a.get('tied'):                             # two supports of equal margin: either may be named
            c.same(t + 'value', a['value_kg'], b['value_kg'])
            continue
        for k in ('limit', 'value', 'u', 'margin'):
            got = b.get(k + unit)
            c.same(t + k, a[k + unit], float(got) if got is not None else None, 1e-3 if unit == '_kg' else 1e-5)
        c.same(t + 'plated_kn', a.get('plated_kn'), b['plated_kn'], 1e-5)
        only = res.only_tensioned(a)
        c.same(t + 'only_tensioned', only, b['only_tensioned'])
        for k in ('verdict', 'decides', 'checked'):
            c.same(t + k, a[k], b[k])
        c.same(t + 'p_over', a['p_over'], b['p_over'], 1e-6)
        c.same(t + 'needed', a['needed_kg'] if unit == '_kg' else b['needed_kg'], b['needed_kg'])
        c.same(t + 'mistake_effect', None if unit == '_kn' else a['mistake_effect_kg'], b['mistake_effect_kg'],
               1e-3 + 1e-6 * (a['mistake_effect_kg'] or 0))
        if 'assumed' in a:
            c.same(t + 'assumed', a['assumed'], 'equal_share' in b['assumed'])


def compare_doubt(c, res, rec):
    """The inseparable observations with the largest |w|, in a conflict."""
    if res.agree != 'conflict':
        c.same('doubtful', '[]', json.dumps(rec['doubtful']))
        return
    obs, R = res.s.obs, res.s.R
    top = max((i for i, o in enumerate(obs) if o['w'] is not None), key=lambda i: abs(obs[i]['w']))
    first = [o for i, o in enumerate(obs) if o['w'] is not None and
             abs(R[i, top]) / math.sqrt(R[i, i] * R[top, top]) > 0.999999]
    mine = sorted('%d %s' % (o['name'].line, o['name'].column) if o['kind'] == 'reading' else
                  '0 ' + (o['kind'] + '.' + (o['name'][1] if o['kind'] == 'share' else o['name'])) for o in first)
    c.same('doubtful', '; '.join(mine), '; '.join(sorted('%d %s' % (d['line'], d['column']) for d in rec['doubtful'][0])))


def compare_inputs(c, folder, job, rec):
    """Digests of this job's lines and the blank-job lines under their header."""
    for i in rec['inputs']:
        path = os.path.join(folder, i['file'])
        with open(path, 'rb') as f:
            whole = f.read()
        if i['lines']:
            lines, wanted = whole.splitlines(keepends=True), []
            for a, b in i['lines']:
                wanted += range(a, b + 1)
            whole = b''.join(lines[n - 1] for n in wanted)
            own = [r['_line'] for r in form(path) if r.get('job', '') in (job, '')]
            others = [r['_line'] for r in form(path) if r.get('job', '') not in (job, '')]
            c.same('inputs %s has its lines' % i['file'], True, set(own) <= set(wanted))
            c.same('inputs %s has no other job' % i['file'], False, bool(set(others) & set(wanted)))
        c.same('inputs ' + i['file'], hashlib.sha256(whole).hexdigest(), i['sha256'])


def compare_routes(c, res, rec):
    mine, got = res.routes(), {r['route']: r for r in rec['routes']}
    c.same('routes', ' '.join(sorted(mine)), ' '.join(sorted(got)))
    for n in sorted(set(mine) & set(got)):
        c.same('route %s value' % n, mine[n][0], got[n]['value_kg'])
        c.same('route %s u' % n, mine[n][1], got[n]['u_kg'])


def compare_budgets(c, res, rec):
    for name, got in rec['budgets'].items():
        mine = [p for p in res.budgets.get(name, [])]
        for i, g in enumerate(got):
            value = g.get('u_kg', g.get('u_mm', g.get('u_kgm', g.get('u'))))
            if i >= len(mine):
                if abs(value) > 1e-6:
                    c.bad.append('%s: budget %s has %r beyond mine' % (c.title, name, g))
                break
            c.same('budget %s place %d' % (name, i + 1), mine[i][1], value, 1e-3)


# ---------------------------------------------------------------- random jobs
def write_random(g, folder, features=()):
    """A folder of forms of one invented job of any kind; g decides everything."""
    os.makedirs(folder, exist_ok=True)
    for f in os.listdir(folder):
        os.remove(os.path.join(folder, f))
    p = Invented(g)
    p.features = features
    for name, head, rows in p.forms():
        with open(os.path.join(folder, name + '.csv'), 'w', newline='') as f:
            out = csv.writer(f, lineterminator='\n')
            out.writerow(head)
            out.writerows([[r.get(h, '') for h in head] for r in rows])
    return folder


class Invented:
    """One outfit with true loads, weighed on invented scales."""

    def __init__(self, g):
        self.g = g
        self.region = g.choice(['au', 'nz', 'uk', 'eu', 'us', ''])
        self.na, self.nt = g.choice([1, 1, 1, 2]), g.choice([1, 2, 2, 3])
        self.axles_said = g.random() < 0.85
        if not self.axles_said:
            self.na = self.nt = 1
        self.w, self.a, self.L, self.n = 3000, 1200, 4500, 4100
        self.travels = g.choice(['plain', 'plain', 'slack', 'tensioned', 'tensioned', ''])
        self.tension = self.travels in ('slack', 'tensioned', '') and g.random() < 0.7
        self.D = g.choice([60, 150, 240, 320])
        V, fr = g.randint(2300, 3000), g.uniform(0.45, 0.55)
        self.T = g.randint(1500, 2900)
        f = V * fr
        x = self.D * self.a / self.w
        h = g.randint(100, 700)                       # trailer difference times (L + a)/w is restored
        dt = h * self.w / (self.L + self.a) * 0.3
        nose = self.D * self.L / self.n
        self.true = {'vehicle_alone': {'front': f, 'rear': V - f},
                     'trailer_alone': {'trailer': self.T - nose, 'nose': nose},
                     'coupled_slack': {'front': f - x, 'rear': V - f + self.D + x, 'trailer': self.T - self.D}}
        s = self.true['coupled_slack']
        r = dt * (self.L + self.a) / self.w
        self.true['coupled_tensioned'] = {'front': s['front'] + r, 'rear': s['rear'] - r - dt, 'trailer': s['trailer'] + dt}
        self.skew = {k: g.uniform(-0.03, 0.03) for k in ('front', 'rear', 'trailer')}
        self.bad = g.random() < 0.3
        self.make_scales()
        self.make_loads()
        self.make_tickets()
        self.make_ratings()

    def unit(self):
        u = self.g.choice(['kg', 'kg', 'kg', 't', 'lb']) if self.region != 'us' else self.g.choice(['lb', 'lb', 'kg'])
        return u if u != 'kg' or self.region == 'us' or self.g.random() < 0.6 else ''

    def said(self, kg, unit, step=None):
        """A mass in a unit, rounded to whole steps of it."""
        v = F(kg).limit_denominator(10 ** 6) / UNIT[unit]
        if step:
            v = round(v / step) * step
        else:
            v = round(v * 1000, 0) / 1000 if unit == 't' else F(round(v))
        return decimal(v)

    def make_scales(self):
        g = self.g
        self.scales, self.has_scales = [], g.random() < 0.9
        for i in range(g.choice([1, 1, 2, 3])):
            deck = g.choice(['single', 'single', 'multi', 'pads', 'pads_in_turn'])
            unit = self.unit()
            e = {'t': g.choice(['0.01', '0.02', '0.005']), 'lb': g.choice(['10', '20', '50'])}.get(unit, g.choice(['5', '10', '20', '50', '2.5', '1']))
            c = g.choice(['', '', 'III', 'IIII', 'III L', 'none', '3', '4'])
            r = dict(scale='s%d' % i, deck=deck, unit=unit, interval=e, **{'class': c})
            if g.random() < 0.15:
                r['interval'], r['unit'] = '', r['unit']
            if c == 'none' or g.random() < 0.25:
                r['expanded_uncertainty'] = str(g.choice([6, 8.5, 15, 30, 30, 400, 900]))
                if g.random() < 0.6:
                    r['stated_at'] = str(g.choice([1000, 3000, 20000]))
            if deck == 'pads_in_turn' or g.random() < 0.2:
                r['split_uncertainty'] = str(g.choice([0, 6, 8, 12.5]))
            self.scales.append(r)
        if not self.has_scales:
            for r in self.scales:
                r.update(deck='single', interval='', expanded_uncertainty='')
        if g.random() < 0.3 and self.has_scales:
            self.scales.append(dict(scale='gauge', deck='gauge', unit='kg', interval='2', **{'class': 'III'}))
        self.plain_scales = [s for s in self.scales if s['deck'] != 'gauge']

    def make_loads(self):
        g = self.g
        self.loads, self.places = [], []
        self.has_loads = g.random() < 0.65
        if not self.has_loads:
            return
        for i in range(g.choice([1, 2, 3, 4])):
            on = g.choice(['vehicle', 'vehicle', 'trailer'])
            unit = self.unit()
            r = dict(load='l%d' % i, unit=unit, on=on)
            m = g.randint(15, 160)
            r['mass'] = self.said(m, unit)
            r['_kg'] = float(F(r['mass']) * UNIT[unit])
            if g.random() < 0.5:
                r['uncertainty'] = {'t': '0.003', 'lb': '4.5'}.get(unit, '2.5')
            if g.random() < 0.7:
                at = g.choice([0, 900, 1500, 2800, -400] if on == 'vehicle' else [0, 800, 2500, -700, 4000])
                at = '' if g.random() < 0.12 else at
                self.places.append(dict(place='p%d' % i, on=on, at=at))
                r['place'] = 'p%d' % i
                if at != '':
                    r['_at'] = at
                if g.random() < 0.5:
                    r['on'] = ''
            r['_on'] = on
            if g.random() < 0.15:
                r['set'] = 'plan'
            self.loads.append(r)

    def put_on(self, load, state, group):
        if load['_on'] == 'vehicle':
            x = load.get('_at', self.w * 0.5) / self.w
            return load['_kg'] * {'front': 1 - x, 'rear': x}.get(group, 0)
        z = load.get('_at', 500)
        if state == 'trailer_alone':
            return load['_kg'] * {'nose': z / self.n, 'trailer': 1 - z / self.n, 'coupling': z / self.L}.get(group, 0)
        c, k = z / self.L, self.a / self.w
        return load['_kg'] * {'front': -k * c, 'rear': (1 + k) * c, 'trailer': 1 - c, 'coupling': c}[group]

    def drafts(self, setup, scale):
        """Lists of terms of one visit with a setup."""
        g = self.g
        pads = scale['deck'].startswith('pads')
        ends = {'vehicle_alone': ['front', 'rear'], 'trailer_alone': ['trailer', 'nose'], 'coupled': ['front', 'rear', 'trailer']}[setup]
        style = g.choice(['sides', 'sides', 'axles', 'groups'] if pads else ['groups', 'groups', 'whole', 'both', 'axles', 'overlap'])
        out = []
        if style == 'whole':
            return [['all']]
        if style == 'overlap' and setup == 'coupled':
            return [['front'], ['front', 'rear'], ['trailer'], ['rear', 'trailer']]
        if style == 'overlap':
            return [[ends[0]], ['all' if setup == 'trailer_alone' else 'vehicle']]
        for e in ends:
            n = {'rear': self.na, 'trailer': self.nt}.get(e, 1)
            if e == 'nose' or style in ('groups', 'both'):
                out.append([e])
            elif style == 'axles':
                out += [['%s.%d' % (e, i)] for i in range(1, n + 1)] if n > 1 else [[e]]
            elif n > 1 and g.random() < 0.7:
                out += [['%s.%d.%s' % (e, i, d)] for i in range(1, n + 1) for d in ('left', 'right')]
            else:
                out += [['%s.%s' % (e, d)] for d in ('left', 'right')]
        if style == 'both':
            out.append(['all'])
        return [d for d in out if g.random() < 0.88] or out[:1]

    def make_tickets(self):
        g = self.g
        self.tickets = []
        minute = 0
        visits = ['coupled', 'vehicle_alone', 'trailer_alone']
        visits = [v for v in visits if g.random() < 0.88] or visits
        if self.tension:
            visits.append('tensioned')
            if g.random() < 0.3:
                visits.remove('coupled') if 'coupled' in visits else None
        for t, v in enumerate(visits):
            setup = 'coupled' if v == 'tensioned' else v
            hitch = 'tensioned' if v == 'tensioned' else ('slack' if self.travels != 'plain' or g.random() < .3 else '') if setup == 'coupled' else ''
            scale = g.choice(self.plain_scales)
            lists = self.drafts(setup, scale)
            if g.random() < 0.15:
                lists = lists + [g.choice(lists)]
            gauge = any(s['deck'] == 'gauge' for s in self.scales)
            if setup == 'trailer_alone' and g.random() < (0.8 if gauge else 0.1):
                lists.append(['coupling'])
            away, extra = self.pick(setup)
            for terms in lists:
                sc = next((s for s in self.scales if s['deck'] == 'gauge' and terms == ['coupling']), scale)
                minute += 3
                self.tickets.append(self.line(t, minute, setup, hitch, sc, terms, away, extra))
        if g.random() < 0.15 and self.tickets:
            r = g.choice(self.tickets)
            self.tickets.append(dict(r, on_deck='' if g.random() < 0.5 else r['on_deck'], weighed_at='', use='calculated', people=''))
        if g.random() < 0.1 and self.tickets:
            r = g.choice([x for x in self.tickets if x.get('use') != 'calculated'])
            r['use'], r['note'] = 'no', 'somebody leant on it'
            if all(x.get('use') == 'no' for x in self.tickets):
                r['use'] = ''

    def pick(self, setup):
        g = self.g
        if not self.has_loads or g.random() < 0.45:
            return [], []
        ok = [l for l in self.loads if setup == 'coupled' or (l['_on'] == 'vehicle') == (setup == 'vehicle_alone')]
        ok = [l for l in ok if not l.get('set')]
        away = [l for l in ok if int(l['load'][1:]) % 3 != 2 and g.random() < 0.6]
        extra = [l for l in ok if int(l['load'][1:]) % 3 == 2 and g.random() < 0.6]
        return away, extra

    def line(self, t, minute, setup, hitch, scale, terms, away, extra):
        g = self.g
        state = setup if setup != 'coupled' else 'coupled_' + (hitch or 'slack')
        total = 0.0
        seen = []
        for term in terms:
            head, *rest = term.split('.')
            heads = {'vehicle': ['front', 'rear'], 'all': list(self.true[state])}.get(head, [head])
            for h in heads:
                v = self.D if h == 'coupling' else self.true[state][h]
                for l in away + extra:
                    v += (-1 if l in away else 1) * self.put_on(l, state, h)
                n = {'rear': self.na, 'trailer': self.nt}.get(h, 1)
                for x in rest:
                    v = v / n if x.isdigit() else v * (0.5 + (self.skew[h] if x == 'left' else -self.skew[h]))
                total += v
        if self.bad and g.random() < 0.2:
            total *= g.choice([1.03, 0.98, 1.1, 1.015])
        total += g.gauss(0, 5)
        unit = scale['unit'] if scale['interval'] else 'kg' if self.region == 'us' else ''
        step = F(scale['interval']) if scale['interval'] else F(20)
        r = dict(ticket='T%d' % t, weighed_at='2026-03-%02d %02d:%02d' % (14 + (g.random() < 0.02), 9 + minute // 60, minute % 60),
                 scale=scale['scale'], setup=setup, hitch=hitch, on_deck='+'.join(terms),
                 people='2' if setup != 'trailer_alone' else '', unit=unit)
        if g.random() < 0.1 and scale['interval']:
            r['interval'] = decimal(step * 2)
            step *= 2
        r['reading'] = self.said(max(total, float(step * UNIT[unit])), unit, step)
        r['without'], r['with'] = '+'.join(l['load'] for l in away), '+'.join(l['load'] for l in extra)
        return r

    def make_ratings(self):
        g, region = self.g, self.region
        self.ratings = []
        s = self.true[g.choice(['coupled_slack', 'coupled_tensioned'])]
        V = s['front'] + s['rear']
        base = [('gvm', '', V), ('gcm', '', V + s['trailer']), ('atm', '', self.T), ('gtm', '', s['trailer']),
                ('axle', 'front', s['front']), ('axle', 'rear', s['rear']), ('axle', 'trailer', s['trailer']),
                ('download_max', g.choice(['vehicle', '']), self.D), ('download_max', 'towbar', self.D), ('download_min', '', self.D * 0.6)]
        if region:
            base += [('towing', '', self.T), ('towing', '', self.T)]
        if self.axles_said and self.nt > 1:
            base.append(('axle', 'trailer.1', s['trailer'] / self.nt))
        for word, on, m in base:
            if g.random() < 0.15:
                continue
            u = self.unit()
            r = dict(rating=word, on=on, unit=u, value=self.said(m * g.choice([1.005, 1.03, 1.1, 1.3, 1.5, 0.97]), u), source='plate')
            if word == 'towing':
                r['kind'] = ['braked', 'unbraked', ''][len([x for x in self.ratings if x['rating'] == 'towing'])]
            if g.random() < 0.06:
                r['value'], r['unit'] = 'none', ''
            if g.random() < 0.06:
                r['certified_on'], r['certificate'] = g.choice(['2024-05-02', '2026-08-01']), 'C-7'
            elif g.random() < 0.05 and r['value'] != 'none':
                r['replaced'] = 'yes'
            self.ratings.append(r)
            if g.random() < 0.12 and word in ('gvm', 'gtm', 'axle', 'atm', 'download_max') and r['value'] != 'none':
                self.ratings.append(dict(r, set='plan', value=decimal(F(r['value']) * F(11, 10)), certified_on='', replaced=''))
            if g.random() < 0.1 and word in ('gvm', 'gtm', 'axle', 'download_max', 'towing'):
                whens = ['coupled', 'slack', 'tensioned'] if self.travels not in ('plain', '') else ['coupled', 'slack']
                if word in ('gvm', 'axle') and not on.startswith('trailer'):
                    whens.append('alone')
                if r['value'] != 'none' and 'replaced' not in r:
                    self.ratings.append(dict(r, when=g.choice(whens), value=decimal(F(r['value']) * F(21, 20)), certified_on=''))
        for on, n in (('front', 1), ('rear', self.na), ('trailer', self.nt), ('trailer.1', 1), ('trailer.left', self.nt)):
            if on == 'trailer.left' and not self.axles_said:
                continue
            if g.random() < 0.3 and (on != 'trailer.1' or self.nt > 1):
                for word in (['tyre'], ['wheel'], ['tyre', 'wheel'])[g.randrange(3)]:
                    dual = 2 if self.axles_said and g.random() < 0.15 else 1
                    r = dict(rating=word, on=on, fitted=str((1 if 'left' in on else 2) * n * dual), source='sidewall')
                    if word == 'tyre' and g.random() < 0.7:
                        r['value'] = g.choice(['112/110', '121/118'] if dual == 2 else ['95', '104', '112/110', '121/118', '88'])
                    else:
                        r['unit'] = 'kg'
                        r['value'] = str(g.randint(500, 1200))
                    if word == 'tyre' and g.random() < 0.5:
                        r['kind'] = g.choice(['passenger', 'commercial'])
                    self.ratings.append(r)
        if g.random() < 0.35:
            self.ratings.append(dict(rating='d_value', on=g.choice(['towbar', 'coupling', '']), value=str(g.choice([11.2, 13, 15.2])), unit='kN', source='plate'))
        for on, m in (('vehicle', V * 0.75), ('trailer', self.T * 0.6)):
            if g.random() < 0.6:
                u = self.unit()
                self.ratings.append(dict(rating=g.choice(['kerb', 'tare', 'running_order']), on=on, unit=u, value=self.said(m, u), source='book'))
        if g.random() < 0.5:
            g.shuffle(self.ratings)

    def forms(self):
        g = self.g
        for r in self.tickets + self.ratings + self.loads:
            numbers = [r.get(k, '') for k in ('reading', 'interval', 'value', 'mass', 'uncertainty')]
            if any('.' in str(x) for x in numbers) and r.get('unit', '') == '':
                r['unit'] = 'kg'
        o = dict(region=self.region, travels=self.travels, people='2',
                 trailer_brakes=g.choice(['driver', 'overrun', 'none']) if self.region else g.choice(['driver', '']))
        if self.axles_said:
            o.update(rear_axles=self.na, trailer_axles=self.nt)
        for k, v in (('wheelbase', self.w), ('rear_axle_to_coupling', self.a), ('coupling_to_trailer_axle', self.L), ('nose_support_to_trailer_axle', self.n)):
            if g.random() < 0.72:
                o[k] = str(v)
        if g.random() < 0.3:
            o['length_uncertainty'] = str(g.choice([0, 5, 25]))
        self.model_2(o)
        ticket_head = ['ticket', 'weighed_at', 'scale', 'setup', 'hitch', 'on_deck', 'reading', 'unit', 'interval', 'people', 'use', 'with', 'without', 'note', 'confirmed']
        out = [('tickets', ticket_head, self.tickets), ('outfit', list(o), [o]),
               ('ratings', ['rating', 'on', 'value', 'unit', 'fitted', 'kind', 'when', 'set', 'source', 'certificate', 'certified_on', 'replaced', 'confirmed'], self.ratings)]
        if self.has_scales:
            out.append(('scales', ['scale', 'class', 'interval', 'unit', 'deck', 'expanded_uncertainty', 'stated_at', 'split_uncertainty'], self.scales))
        if self.loads:
            out.append(('loads', ['load', 'mass', 'unit', 'uncertainty', 'on', 'place', 'set'], self.loads))
        if self.places:
            out.append(('places', ['place', 'on', 'at'], self.places))
        return out

    def model_2(self, o):
        """What came with model 2, drawn apart so that the rest of a seed stays: the
        suspension, and empty decks of some scales, set to zero or not returned to it."""
        g = random.Random(self.g.random())
        if g.random() < 0.4 and 'rocker' in self.features:
            o['suspension'] = g.choice(['rocker', 'springs'])
        if 'asked' in self.features:
            self.asked(o, random.Random(g.random()))
        if 'kinds' in self.features:
            self.other_kind(o, random.Random(g.random()))
        for name in dict.fromkeys(r['scale'] for r in self.tickets):
            if g.random() > 0.35 or 'empty' not in self.features:
                continue
            one = next(r for r in self.tickets if r['scale'] == name)
            row = {k: one[k] for k in ('scale', 'unit', 'interval') if one.get(k)}
            said = next((s for s in self.scales if s['scale'] == name), None) if self.has_scales else None
            step = F(row.get('interval') or (said or {}).get('interval') or 20)
            for i in range(g.choice([1, 2])):
                off = g.choice([0, 0, 0, step, -step, 2 * step])
                self.tickets.append(dict(row, ticket='E%d' % len(self.tickets), weighed_at='2026-03-14 08:%02d' % (10 + i),
                                         on_deck='empty', reading=decimal(off), unit=row.get('unit') or 'kg'))


    def asked(self, o, g):
        """Room under every rating, slips in some of them, answers to some questions, bars that nobody looked at."""
        if g.random() < 0.7:
            self.ratings[:] = [r for r in self.ratings if r['rating'] not in ('tyre', 'wheel', 'd_value', 'download_min')]
        slip = g.choice(self.ratings) if self.ratings and g.random() < 0.5 else None
        for r in self.ratings:
            if r.get('value') in (None, 'none') or r['rating'] in ('tyre', 'wheel', 'd_value', 'kerb', 'tare', 'running_order', 'download_min'):
                continue
            f = g.choice([F(45, 100), F(22, 10), F(1, 20)]) if r is slip else F(14, 10)
            step = {'t': F(1, 100), 'lb': F(10)}.get(r['unit'], F(10))
            r['value'] = decimal(max(round(F(r['value']) * f / step), 1) * step)
            if r['rating'] == 'download_max' and F(r['value']) * UNIT[r['unit'] or 'kg'] > 4000:
                r['value'] = decimal(step * 5)
            if g.random() < 0.3:
                r['confirmed'] = '+'.join(g.sample(['axles_below_gvm', 'gcm_above_sum', 'axle_each', 'rating_small', 'gvm_far_above', 'gtm_above_atm', 'atm_far_above'], 2))
        for r in self.tickets:
            if g.random() < 0.1:
                r['confirmed'] = g.choice(['not_uncoupled', 'left_out_disagrees', 'share_high', 'with_everywhere', 'bars_unknown'])
        if g.random() < 0.3 and self.travels in ('slack', 'tensioned'):
            for r in self.tickets:
                if r.get('hitch') == 'tensioned':
                    r['hitch'] = 'unknown'

    def other_kind(self, o, g):
        """The same figures typed as those of a semi-trailer or of one with a hinged drawbar."""
        bars = any(r.get('hitch') in ('tensioned', 'unknown') for r in self.tickets)
        apart = any('trailer.' in r.get('on_deck', '') for r in self.tickets)
        named = {n for r in self.tickets for k in ('with', 'without') for n in (r.get(k) or '').split('+')}
        kind = g.choice(['semi', 'drawbar'])
        if kind == 'semi' and not bars and self.travels in ('plain', ''):
            o['trailer_kind'] = 'semi'
            self.ratings[:] = [r for r in self.ratings if r['rating'] != 'd_value']
            if 'rear_axle_to_coupling' in o:
                o['rear_axle_to_coupling'] = g.choice(['0', '-700', '600'])
        if kind == 'drawbar' and not (apart and any(l['load'] in named and l['_on'] == 'trailer' for l in self.loads)):
            o['trailer_kind'] = 'drawbar'
            self.tickets[:] = [r for r in self.tickets if 'nose' not in r['on_deck'] and 'coupling' not in r['on_deck']]
            self.ratings[:] = [r for r in self.ratings if not r['rating'].startswith('download') and r['rating'] != 'd_value']


def decimal(v):
    """A fraction with a short decimal expansion as text."""
    v = F(v)
    if v.denominator == 1:
        return str(v.numerator)
    return ('%.4f' % float(v)).rstrip('0').rstrip('.')


def run(program, folder, region='', extra=()):
    """(records, exit status, what was said) of a folder. The program "-" is whoever reads what this
    prints: asked for the records of a folder, it answers with how many and a line each, or with what is wrong."""
    if program == '-':
        print('records of\t' + folder, flush=True)
        answer = sys.stdin.readline()
        if not answer.strip().isdigit():
            return [], 3, answer
        return [json.loads(sys.stdin.readline()) for _ in range(int(answer))], 0, ''
    out = subprocess.run([program, 'summary', folder, '--json'] + list(extra), capture_output=True, text=True)
    return [json.loads(x) for x in out.stdout.splitlines()], out.returncode, out.stderr


def check(program, folder):
    """(number of values compared, differences, refused) of a folder."""
    records, code, err = run(program, folder)
    if not records:
        return 0, [], '%s: exit %d: %s' % (folder, code, err.strip())
    by = {r['job']: r for r in records}
    count, bad = 0, []
    for name, forms in jobs_of(folder):
        if name not in by:
            return count, bad, '%s: job %s: %s' % (folder, name, err.strip())
        c = compare(os.path.basename(folder.rstrip('/')) + (':' + name if name else ''), Result(Job(name, forms)), by[name])
        compare_inputs(c, folder, name, by[name])
        count, bad = count + c.count, bad + c.bad
    return count, bad, ''


def main(args):
    program, rest = args[0], args[1:]
    if rest[0] == '--random':
        n, seed, where = int(rest[1]), int(rest[2]), rest[3]
        features = rest[4].split(',') if len(rest) > 4 else ()
        folders = [write_random(random.Random(seed * 100003 + i), os.path.join(where, 'job-%d-%d' % (seed, i)), features)
                   for i in range(n)]
    else:
        folders = rest
    total, bad, refused = 0, 0, 0
    for f in folders:
        count, differences, why = check(program, f)
        total += count
        bad += len(differences)
        for d in differences:
            print(d)
        if why:
            refused += 1
            print('refused: ' + why)
    print('%d folders, %d values compared, %d differences, %d refused' % (len(folders), total, bad, refused))
    return 1 if bad else 2 if refused else 0


if __name__ == '__main__':
    sys.exit(main(sys.argv[1:]))
