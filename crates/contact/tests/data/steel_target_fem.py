#!/usr/bin/env python3
"""Gap flux of a contact past which a steel vane moves, its magnet at rest: three-dimensional finite elements.

Total scalar potential, H = -grad phi, div B = 0, B = mu0 mu_r H outside the magnet and mu0 H + J in it: no
currents, so nothing cancels. The uniform axial field that the drive is measured by is the same equation with
phi = -H x on the outer sphere and no magnet. One mesh serves all places of the vane: it is cut into cells along
its way, and which of them are iron is chosen. Symmetric in y; the half y > 0 is solved.

Contact axis x, gap normal z, millimetres, as in reed_fem.json.
"""
import json, sys, time
import ngsolve as ng
from netgen.occ import (Box, Cylinder, Glue, OCCGeometry, Pnt, Sphere, X, Y, Z, Axis)
import netgen.meshing as nm

MU0 = 4e-7 * 3.141592653589793
REED = dict(lead=0.55, length=55.0, span=12.0, width=1.3, thickness=0.22, overlap=1.0, gap=0.05, mu=5000.0)

CASES = {
    # The vane comes between magnet and contact and draws the flux away.
    "away": dict(magnet=dict(size=[10, 5, 5], at=[0, 0, 14], J=[1.2, 0, 0]),
                 vane=dict(size=[40, 24, 1.5], z=7.0, mu=500.0, cell=10.0), places=[50.0, 40.0, 30.0, 20.0, 10.0, 0.0]),
    # The vane comes over the magnet's far pole and leads its flux to the other lead.
    "into": dict(magnet=dict(size=[6, 6, 8], at=[24, 0, 10], J=[0, 0, 0.4]),
                 vane=dict(size=[60, 10, 2], z=16.5, mu=500.0, cell=10.0), places=[-60.0, -40.0, -30.0, -20.0, -10.0, 0.0]),
}

def geometry(case, fine):
    g = REED
    t, w, gap = g["thickness"], g["width"], g["gap"]
    half = 1  # y > 0
    c = 0.5 * (gap + t)
    def blade(sign):
        # left (sign -1): from -span/2 to +overlap/2, below.
        x0, x1 = (-g["span"] / 2, g["overlap"] / 2) if sign < 0 else (-g["overlap"] / 2, g["span"] / 2)
        z0 = -gap / 2 - t if sign < 0 else gap / 2
        return Box(Pnt(x0, 0, z0), Pnt(x1, w / 2, z0 + t))
    def lead(sign):
        r = g["lead"] / 2
        x0 = sign * g["span"] / 2
        n = g["length"] / 2 - g["span"] / 2
        cyl = Cylinder(Pnt(x0, 0, sign * c), sign * X, r=r, h=n)
        return cyl * Box(Pnt(-100, 0, -100), Pnt(100, 100, 100))
    iron = [blade(-1), lead(-1), blade(1), lead(1)]
    h = g["overlap"] / 2
    gaps = [Box(Pnt(-h, 0, -gap / 2), Pnt(h, w / 2, 0)), Box(Pnt(-h, 0, 0), Pnt(h, w / 2, gap / 2))]
    m = case["magnet"]
    s, a = m["size"], m["at"]
    magnet = Box(Pnt(a[0] - s[0] / 2, 0, a[2] - s[2] / 2), Pnt(a[0] + s[0] / 2, s[1] / 2, a[2] + s[2] / 2))
    v = case["vane"]
    lo = min(case["places"]) - v["size"][0] / 2
    hi = max(case["places"]) + v["size"][0] / 2
    n = round((hi - lo) / v["cell"])
    cells = [Box(Pnt(lo + k * v["cell"], 0, v["z"] - v["size"][2] / 2),
                 Pnt(lo + (k + 1) * v["cell"], v["size"][1] / 2, v["z"] + v["size"][2] / 2)) for k in range(n)]
    f = fine
    for b in iron[0::2]:
        b.mat("iron"); b.maxh = 0.5 * f
    for b in iron[1::2]:
        b.mat("iron"); b.maxh = 0.6 * f
    for b in gaps:
        b.mat("gap"); b.maxh = 0.12 * f
    gaps[0].faces.Max(Z).name = "middle"
    magnet.mat("magnet"); magnet.maxh = 1.5 * f
    for k, b in enumerate(cells):
        b.mat(f"cell{k}"); b.maxh = 2.0 * f
    near = Box(Pnt(-35, 0, -10), Pnt(35, 15, 22))
    near.mat("air"); near.maxh = 6.0 * f
    ball = Sphere(Pnt(0, 0, 0), 300) * Box(Pnt(-400, 0, -400), Pnt(400, 400, 400))
    ball.mat("air"); ball.maxh = 60
    ball.faces.name = "outer"
    ball.faces.Min(Y).name = "mirror"
    shape = Glue(iron + gaps + [magnet] + cells + [near, ball])
    return OCCGeometry(shape), lo

def outer_name(mesh):
    return "outer"

def solve(name, order, fine):
    case = CASES[name]
    t0 = time.time()
    geo, lo = geometry(case, fine)
    mesh = ng.Mesh(geo.GenerateMesh(maxh=60, grading=0.4))
    mesh.Curve(2)
    print(name, "elements", mesh.ne, "order", order, "meshed in %.0f s" % (time.time() - t0), set(mesh.GetMaterials()), set(mesh.GetBoundaries()), flush=True)
    scale = 1e-3
    fes = ng.H1(mesh, order=order, dirichlet="outer")
    u, v = fes.TnT()
    vane = case["vane"]
    def run(place, uniform):
        mats = {}
        for mat in set(mesh.GetMaterials()):
            mu = REED["mu"] if mat == "iron" else 1.0
            if mat.startswith("cell") and not uniform:
                k = int(mat[4:])
                x = lo + (k + 0.5) * vane["cell"]
                if abs(x - place) < vane["size"][0] / 2:
                    mu = vane["mu"]
            mats[mat] = mu
        mu = mesh.MaterialCF(mats)
        a = ng.BilinearForm(fes, symmetric=True, condense=True)
        a += mu * ng.grad(u) * ng.grad(v) * ng.dx
        f = ng.LinearForm(fes)
        phi = ng.GridFunction(fes)
        if uniform:
            # 2 mT; in units of T: B = -mu grad phi with phi in T mm.
            phi.Set(-2e-3 * ng.x, definedon=mesh.Boundaries("outer"))
        else:
            j = ng.CF(tuple(case["magnet"]["J"]))
            f += j * ng.grad(v) * ng.dx(definedon=mesh.Materials("magnet"))
        pre = ng.Preconditioner(a, "bddc")
        a.Assemble(); f.Assemble()
        r = f.vec.CreateVector()
        r.data = f.vec - a.mat * phi.vec
        r.data += a.harmonic_extension_trans * r
        inv = ng.krylovspace.CGSolver(a.mat, pre.mat, tol=1e-9, maxiter=2000, printrates=False)
        d = phi.vec.CreateVector()
        d.data = inv * r
        phi.vec.data += d
        phi.vec.data += a.harmonic_extension * phi.vec
        phi.vec.data += a.inner_solve * r
        # Flux through the middle of the gap, both halves in y: mm^2 to m^2.
        bz = -ng.grad(phi)[2]
        up = ng.Integrate(ng.BoundaryFromVolumeCF(bz) * ng.ds("middle"), mesh)
        return 2 * up * 1e-6, inv.iterations
    out = []
    flux, its = run(None, True)
    print("  uniform %.6e Wb (%d iterations) %.0f s" % (flux, its, time.time() - t0), flush=True)
    uniform = flux
    for place in case["places"]:
        flux, its = run(place, False)
        print("  x %6.1f  %.6e Wb  ratio %.5f (%d) %.0f s" % (place, flux, flux / uniform, its, time.time() - t0), flush=True)
        out.append(dict(place=place, gap_flux_Wb=flux, ratio_to_uniform=flux / uniform))
    return dict(case=name, order=order, fine=fine, elements=mesh.ne, uniform_Wb=uniform, results=out)

if __name__ == "__main__":
    name, order, fine = sys.argv[1], int(sys.argv[2]), float(sys.argv[3])
    ng.SetNumThreads(1)
    with ng.TaskManager():
        print(json.dumps(solve(name, order, fine)))
