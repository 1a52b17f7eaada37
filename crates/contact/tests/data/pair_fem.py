#!/usr/bin/env python3
"""Gap flux of two equal contacts side by side in a uniform axial field: three-dimensional finite elements.

Total scalar potential, B = -mu0 mu_r grad phi, phi = -H x on the outer sphere. One mesh serves all states: a
contact that is not there has mu_r = 1, a closed gap the permeability that makes its permeance that of the metals
alone. Contact axis x, gap normal z, the contacts apart along y or z, millimetres. Needs netgen and NGSolve.

    pair_fem.py y 2.0 3 1.0      apart along y by 2 mm, elements of third order, mesh size as it stands
"""
import json, sys, time
import ngsolve as ng
from netgen.occ import Box, Cylinder, Glue, OCCGeometry, Pnt, Sphere, X, Z

REED = dict(lead_diameter=0.4, overall_length=24.0, blade_span=8.2, blade_width=0.85, blade_thickness=0.14,
            overlap=0.55, gap=0.025, closed_gap=0.005, permeability=5000.0)


def contact(name, y, z, fine):
    g = REED
    t, w, gap = g["blade_thickness"], g["blade_width"], g["gap"]
    span, h = g["blade_span"] / 2, g["overlap"] / 2
    c = 0.5 * (gap + t)
    solids = []
    for sign in (-1, 1):
        x0, x1 = (-span, h) if sign < 0 else (-h, span)
        z0 = z + (-gap / 2 - t if sign < 0 else gap / 2)
        blade = Box(Pnt(x0, y - w / 2, z0), Pnt(x1, y + w / 2, z0 + t))
        lead = Cylinder(Pnt(sign * span, y, z + sign * c), sign * X, r=g["lead_diameter"] / 2,
                        h=g["overall_length"] / 2 - span)
        blade.maxh, lead.maxh = 0.5 * fine, 0.6 * fine
        for solid in (blade, lead):
            solid.mat("iron_" + name)
            solids.append(solid)
    lower = Box(Pnt(-h, y - w / 2, z - gap / 2), Pnt(h, y + w / 2, z))
    upper = Box(Pnt(-h, y - w / 2, z), Pnt(h, y + w / 2, z + gap / 2))
    for solid in (lower, upper):
        solid.mat("gap_" + name)
        solid.maxh = 0.1 * fine
    lower.faces.Max(Z).name = "middle_" + name
    return solids + [lower, upper]


def solve(axis, apart, order, fine):
    t0 = time.time()
    at = {"a": -0.5 * apart, "b": 0.5 * apart}
    place = lambda n: (at[n], 0.0) if axis == "y" else (0.0, at[n])
    solids = [s for n in "ab" for s in contact(n, *place(n), fine)]
    near = Box(Pnt(-16, -6, -6), Pnt(16, 6, 6))
    near.mat("air")
    near.maxh = 3.0 * fine
    ball = Sphere(Pnt(0, 0, 0), 150)
    ball.mat("air")
    ball.faces.name = "outer"
    mesh = ng.Mesh(OCCGeometry(Glue(solids + [near, ball])).GenerateMesh(maxh=40, grading=0.4))
    mesh.Curve(2)
    print("elements", mesh.ne, "meshed in %.0f s" % (time.time() - t0), file=sys.stderr, flush=True)
    fes = ng.H1(mesh, order=order, dirichlet="outer")
    u, v = fes.TnT()
    rows = []
    for states in [("open", None), ("closed", None), ("open", "open"), ("open", "closed"), ("closed", "open"),
                   ("closed", "closed")]:
        mu = {"air": 1.0}
        for n, state in zip("ab", states):
            mu["iron_" + n] = REED["permeability"] if state else 1.0
            mu["gap_" + n] = REED["gap"] / REED["closed_gap"] if state == "closed" else 1.0
        a = ng.BilinearForm(fes, symmetric=True, condense=True)
        a += mesh.MaterialCF(mu) * ng.grad(u) * ng.grad(v) * ng.dx
        pre = ng.Preconditioner(a, "bddc")
        a.Assemble()
        phi = ng.GridFunction(fes)
        phi.Set(-1e-3 * ng.x, definedon=mesh.Boundaries("outer"))  # 1 mT, phi in T mm
        r = phi.vec.CreateVector()
        r.data = -a.mat * phi.vec
        r.data += a.harmonic_extension_trans * r
        inv = ng.krylovspace.CGSolver(a.mat, pre.mat, tol=1e-9, maxiter=3000, printrates=False)
        d = phi.vec.CreateVector()
        d.data = inv * r
        phi.vec.data += d
        phi.vec.data += a.harmonic_extension * phi.vec
        phi.vec.data += a.inner_solve * r
        bz = -mesh.MaterialCF(mu) * ng.grad(phi)[2]
        flux = ng.Integrate(ng.BoundaryFromVolumeCF(bz) * ng.ds("middle_a"), mesh) * 1e-6
        rows.append(dict(a=states[0], b=states[1], gap_flux_Wb=flux))
        print(states, "%.6e" % flux, inv.iterations, "%.0f s" % (time.time() - t0), file=sys.stderr, flush=True)
    return dict(axis=axis, apart_mm=apart, order=order, fine=fine, elements=mesh.ne, geometry=REED, cases=rows)


if __name__ == "__main__":
    ng.SetNumThreads(1)
    with ng.TaskManager():
        print(json.dumps(solve(sys.argv[1], float(sys.argv[2]), int(sys.argv[3]), float(sys.argv[4]))))
