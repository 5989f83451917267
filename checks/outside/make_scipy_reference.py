#!/usr/bin/python3
"""Writes scipy_reference.json: end states of four catalogue mechanisms by SciPy, for checks/scipy.check.ts.

Needs Debian's python3-scipy and python3-yaml; run it from anywhere:

    apt-get install python3-scipy python3-yaml
    /usr/bin/python3 checks/outside/make_scipy_reference.py

It reads the mechanism files with its own small reader, so that neither our parser, nor our compiler, nor our integrator has a
part in it. Radau (implicit Runge-Kutta, order 5) and BDF run with an exact (complex-step) Jacobian at tight tolerances; both
results are stored, and how many digits they share.
"""
import ast
import json
import math
import pathlib
import re

import numpy
import scipy
import yaml
from scipy.integrate import solve_ivp

HERE = pathlib.Path(__file__).resolve().parent
MECHANISMS = HERE.parent.parent / 'data' / 'mechanisms'

RUNS = [
    ('bromate-malonate-cerium-batch', 600.0, 1e-10, {
        'H+': 1.29, 'HOBr': 1.5e-8, 'Br-': 1.5e-5, 'MA': 0.032, 'BrO3-': 0.062, 'Ce3+': 0.0025}),
    ('chlorite-iodide-elementary', 150.0, 1e-10, {'ClO2-': 0.0005, 'I-': 0.0005, 'H+': 0.01}),
    ('iodate-bisulfite-elementary', 40.0, 1e-10, {'IO3-': 0.01, 'HSO3-': 0.01, 'I-': 1e-6}),
    # Fact file's demonstration composition; 60 s hold four cycles. Its fast equilibria leave double precision no
    # more than six or seven digits, so a tighter tolerance would only take longer.
    ('iodate-peroxide-malonate-batch', 60.0, 1e-7, {
        'H+': 0.03506, 'SO4^2-': 0.00613, 'HSO4-': 0.02087, 'HMA-': 0.001933, 'MA': 0.04807,
        'IO3-': 0.067, 'H2O2': 1.3, 'Mn2+': 0.0067, 'I-': 1e-6}),
]

UNIT = re.compile(r'^([-+0-9.eE]+)(?: (.*))?$')


def kelvin(text):
    return float(text.removesuffix(' degC')) + 273.15


def number(cell, temperature):
    """Value of a constant at the mechanism's temperature, in mol, L and s (no other unit occurs in these files).

    A constant measured elsewhere ("at: 20 degC") is carried over by Arrhenius."""
    about = cell if isinstance(cell, dict) else {'value': cell}
    text = str(about['value'])
    found = UNIT.match(text)
    if found is None:
        raise SystemExit(f'no number: {text}')
    if re.search(r'min|mmol|mL|/h', found.group(2) or ''):
        raise SystemExit(f'unit not in mol, L, s: {text}')
    value = float(found.group(1))
    if 'at' in about:
        activation = 1000 * float(about['activation'].removesuffix(' kJ/mol'))
        value *= math.exp(-activation / 8.31446261815324 * (1 / temperature - 1 / kelvin(about['at'])))
    return value


def side(text):
    """'2 HIO2 + H+' as a list of (coefficient, species)."""
    terms = []
    for term in text.split(' + '):
        parts = term.strip().split(' ')
        terms.append((float(parts[0]), parts[1]) if len(parts) == 2 else (1.0, parts[0]))
    return terms


def arithmetic(text, look):
    """Value of a rate expression: numbers, names, + - * / ^ and brackets; anything else is refused."""
    def value(node):
        if isinstance(node, ast.Expression):
            return value(node.body)
        if isinstance(node, ast.Constant):
            return node.value
        if isinstance(node, ast.Name):
            return look(node.id)
        if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
            return -value(node.operand)
        if isinstance(node, ast.BinOp):
            a, b = value(node.left), value(node.right)
            if isinstance(node.op, ast.Add):
                return a + b
            if isinstance(node.op, ast.Sub):
                return a - b
            if isinstance(node.op, ast.Mult):
                return a * b
            if isinstance(node.op, ast.Div):
                return a / b
            if isinstance(node.op, ast.Pow):
                return a ** b
        raise SystemExit(f'not understood in a rate: {text}')
    return value(ast.parse(text, mode='eval'))


def load(name):
    file = yaml.safe_load((MECHANISMS / f'{name}.yaml').read_text())
    species = [str(s) for s, about in file['species'].items() if (about or {}).get('role') not in ('solvent', 'held')]
    held = [str(s) for s, about in file['species'].items() if (about or {}).get('role') == 'held']
    place = {s: i for i, s in enumerate(species)}
    temperature = kelvin(file['temperature'])
    rates = []
    for step in file['steps']:
        equation = step['equation']
        arrow = ' <=> ' if ' <=> ' in equation else ' -> '
        left, right = (side(s) for s in equation.split(arrow))
        constants = {k: number(v, temperature) for k, v in step['constants'].items()}
        numbers = numpy.zeros(len(species))
        for sign, terms in ((-1, left), (1, right)):
            for coefficient, s in terms:
                if s in place:
                    numbers[place[s]] += sign * coefficient
        if 'rate' in step:
            names = {}

            def put(match, names=names):
                names[f's{len(names)}_'] = match.group(1)
                return list(names)[-1]
            text = re.sub(r'\[([^\]]+)\]', put, step['rate']).replace('^', '**')
            rates.append((numbers, ('law', text, names, constants)))
        else:
            forward = constants.get('kf', constants.get('k'))
            rates.append((numbers, ('mass', forward, left)))
            if arrow == ' <=> ':
                rates.append((-numbers, ('mass', constants['kr'], right)))
    return species, held, place, rates


def system(name, start):
    species, held, place, rates = load(name)
    fixed = {s: start.get(s, 0.0) for s in held}

    def f(_t, y):
        y = numpy.asarray(y)
        out = numpy.zeros(len(species), dtype=y.dtype)
        at = lambda s: y[place[s]] if s in place else fixed.get(s, 1.0)  # solvent water counts as 1
        for numbers, law in rates:
            if law[0] == 'mass':
                v = law[1]
                for coefficient, s in law[2]:
                    v = v * at(s) ** int(coefficient)
            else:
                _, text, names, constants = law
                v = arithmetic(text, lambda n, names=names, constants=constants: at(names[n]) if n in names else constants[n])
            out = out + numbers * v
        return out

    def jacobian(t, y):
        n = len(species)
        columns = numpy.empty((n, n))
        for j in range(n):
            z = numpy.array(y, dtype=complex)
            z[j] += 1e-30j
            columns[:, j] = f(t, z).imag / 1e-30
        return columns

    y0 = numpy.array([start.get(s, 0.0) for s in species])
    return species, f, jacobian, y0


def main():
    runs = []
    for name, end, rtol, start in RUNS:
        species, f, jacobian, y0 = system(name, start)
        results = {}
        for method in ('Radau', 'BDF'):
            s = solve_ivp(f, (0, end), y0, method=method, rtol=rtol, atol=1e-9 * rtol, jac=jacobian)
            if not s.success:
                raise SystemExit(f'{name}: {s.message}')
            results[method] = s.y[:, -1]
            print(name, method, len(s.t), 'steps', flush=True)
        radau, bdf = results['Radau'], results['BDF']
        largest = radau > 1e-9
        shared = -numpy.log10(max(1e-16, numpy.max(abs(bdf[largest] / radau[largest] - 1))))
        runs.append({
            'mechanism': yaml.safe_load((MECHANISMS / f'{name}.yaml').read_text())['name'],
            'toS': end,
            'relativeTolerance': rtol,
            'molPerL': start,
            'end': {s: float(v) for s, v in zip(species, radau)},
            'digitsSharedWithBdf': round(float(shared), 1),
        })
        print(name, 'digits shared', shared, flush=True)
    out = {
        'source': f'SciPy {scipy.__version__} (Debian python3-scipy), solve_ivp Radau, exact Jacobian; '
                  'written by checks/outside/make_scipy_reference.py',
        'runs': runs,
    }
    (HERE / 'scipy_reference.json').write_text(json.dumps(out, indent=1) + '\n')


if __name__ == '__main__':
    main()
