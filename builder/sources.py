"""The bibliography: where every sum and every number comes from. A column names its source by key."""

from __future__ import annotations

#: key ─► citation, down to table or equation.
SOURCES: dict[str, str] = {
    "record": "The maker's own record of this instrument.",
    "shop": "The shop file: the rules, units and tolerances of the workshop.",
    "fret-law": (
        "The law of the stretched string: frequency is as one over length (Mersenne, Harmonie universelle, 1636), "
        "so a fret for the frequency ratio r lies L(1 − 1/r) from the nut."
    ),
    "equal-temperament": (
        "Twelve equal semitones to the octave, each of the ratio 2^(1/12); frequencies from "
        "A4 = 440 Hz: ISO 16:1975, Acoustics – Standard tuning frequency."
    ),
    "diatonic-fretting": (
        "The diatonic fretboard leaves out frets of the chromatic one so that the open string starts a Mixolydian "
        "scale (tone, tone, semitone, tone, tone, semitone, tone): common practice of the trade."
    ),
    "nearest-mark": (
        "The mark of the rule nearest to the exact place; midway between two marks, the one nearer the nut. "
        "The international inch is 25.4 mm exactly (1959)."
    ),
    "temperament": (
        "Temperaments as places on the line of fifths: Pythagorean (fifths of 3/2), quarter-comma meantone (four "
        "fifths make a pure third; P. Aaron, Toscanello in musica, 1523), equal divisions, and just ratios above a "
        "tonic (J. M. Barbour, Tuning and Temperament, 1951)."
    ),
    "stepping": (
        "Moving the rule along from fret to fret rounds every gap by itself, and the errors add up: common practice is "
        "to measure every fret from the nut."
    ),
    "slanted": (
        "Plane geometry: each fret is the straight line through its places on the two outer strings, carried to the "
        "edges of the board."
    ),
    "spacing": "What the strings' thicknesses leave of the spread, shared out evenly: common practice.",
    "reach": "The way along the neck between the frets pressed: common practice.",
    "fretting": "A slot between the thickness of the tang and that over its barbs: common practice.",
    "cents": "A cent is the 1200th part of an octave: 1200·log2 of the frequency ratio (A. J. Ellis, 1885).",
    "string-law": (
        "The stretched string: f = √(T/μ)/(2L), so its pull is T = μ(2Lf)² (M. Mersenne, Harmonie universelle, 1636; "
        "B. Taylor, 1713; OpenStax, University Physics vol. 1, 16.3 and 16.6)."
    ),
    "string-weight": (
        "Plain geometry: density times cross-section (π d²/4; a hexagon √3/2 d² across its flats), and a wrap of round "
        "wire as a helix, turns touching, along a line half its thickness outside the core (J. Steiner, 1840). "
        "Densities: OpenStax, University Physics vol. 1 and College Physics; mill data sheet of phosphor bronze "
        "C51000; engineers’ handbooks."
    ),
    "music-wire": (
        "ASTM A228, Standard Specification for Steel Wire, Music Spring Quality: least and greatest tensile strength "
        "by diameter, 0.004 to 0.063 in, as a wire merchant prints them; straight lines between the rows."
    ),
    "saddle-force": (
        "Statics (OpenStax, University Physics vol. 1, ch. 12): a string that slides freely over the saddle pulls "
        "alike on both sides, and presses down with T(sin α₁ + sin α₂), both angles against the soundboard."
    ),
    "stiff-string": (
        "The stiff string: f_n = n·f₀·√(1 + B·n²) with pinned ends, and with clamped ends that times 1 + (2/π)·√B + "
        "(4/π²)·B, B = π²EI/(TL²): H. Fletcher, J. Acoust. Soc. Am. 36 (1964) 203; N. H. Fletcher and T. D. Rossing, "
        "The Physics of Musical Instruments; R. W. Young, J. Acoust. Soc. Am. 24 (1952) 267."
    ),
    "second-moments": (
        "Second moments of area, round πd⁴/64 and six-sided 5√3/144·d⁴ across the flats: any handbook of mechanics."
    ),
    "pressed-string": (
        "Plane geometry: two straight lines, nut to crown and crown to saddle, against one from nut to saddle; Hooke’s "
        "law for the core (stretch over the whole length that slides)."
    ),
    "setback": (
        "Fretted note against the open string tuned again: lengths, pull and stiffness together; derived here; the "
        "same parts are weighed by G. U. Varieschi and C. M. Gower, Am. J. Phys. 78 (2010) 47."
    ),
    "least-squares": (
        "Least squares of the cents over all frets (C. F. Gauss, 1809); the straight saddle as the weighted line of "
        "least squares."
    ),
    "string-heights": "The straight line through two clearances over the plane of the frets’ crowns: plane geometry.",
    "moisture": (
        "Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021), chapter 4, Eq. 4-2, 4-3, 4-5 and table 4-2; "
        "after W. T. Simpson, Wood and Fiber 5(1) (1973)."
    ),
    "wood-movement": (
        "Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), chapter 13, Eq. 13-2 and 13-3, table 13-5; "
        "shrinkages of tables 4-3 and 4-4."
    ),
    "wood-mass": (
        "Forest Products Laboratory, Wood Handbook, FPL-GTR-282 (2021), chapter 4, Eq. 4-9 to 4-14; specific gravities "
        "of FPL-GTR-190, tables 5-3 and 5-5."
    ),
    "species": (
        "Table of woods: Wood Handbook FPL-GTR-190; Forest Products Laboratory fact sheets after M. Chudnoff, Tropical "
        "Timbers of the World (1984); R. Wagenführ, Holzatlas. Each figure says how it is known."
    ),
    "trade-listings": (
        "Convention on International Trade in Endangered Species of Wild Fauna and Flora (CITES), Washington, 1973; "
        "entries with date and source of their own."
    ),
    "wood-dust": "OSHA, Wood dust: hazard evaluation; HSE, Toxic woods, Woodworking Sheet No 30.",
    "glue-label": ("The label of the glue or finish, as the shop file has it; it leads, with its safety data sheet."),
    "glue-apart": (
        "How a glued joint is opened again: repairers’ accounts and common practice for each kind of glue; what the "
        "shop says of its own glue leads."
    ),
    "glue-typical": (
        "What is typical of a kind of glue: an adhesive maker’s gluing guide for wood, a craft sheet on natural glues, "
        "and the trade; each value says how it is known."
    ),
    "glue-pressure": (
        "Pressures for softwoods (100 to 150 psi), medium woods (150 to 200) and hardwoods (200 to 300): an adhesive "
        "maker’s gluing guide."
    ),
    "clamp-pressure": (
        "Pressure is force over area: force of a clamp times their number over run times width of the glue."
    ),
    "clamp-count": "A closed run has as many clamps as gaps, an open run one more: common practice.",
    "board-foot": "A board foot is 144 cubic inches, a board a foot square and an inch thick: NIST Handbook 130.",
    "blanks": (
        "Finished size plus what is left over for sawing and planing, plus a saw cut each way: common practice."
    ),
    "outline": (
        "Smooth curves through given places: cubic splines (C. de Boor, A Practical Guide to Splines, 1978), their "
        "slopes held where they must not swing beyond the places (F. N. Fritsch and R. E. Carlson, Monotone Piecewise "
        "Cubic Interpolation, SIAM Journal on Numerical Analysis 17, 1980); area by the surveyor’s formula."
    ),
    "offset": (
        "The line at a fixed distance inside another one; round a line that bulges everywhere it is P − 2πt long "
        "(J. Steiner, 1840)."
    ),
    "side-blanks": (
        "Side blanks follow the outline and the depth between the plates, with something to spare: common practice."
    ),
    "bends": "The radius of the circle that turns as much over 6 mm as the outline does: plane geometry.",
    "linings": "Linings run along the inside of the sides from block to block: common practice.",
    "kerfs": "A kerf closes when the strip has turned by its width over its depth: plane geometry.",
    "volume": (
        "Area inside times the depth where that area balances (Pappus’s rule for an even taper), less blocks and "
        "linings."
    ),
    "helmholtz": (
        "The air in a vessel with an opening: H. von Helmholtz, 1860; openings with a broad rim, 8r/3π at each face, "
        "and their conductances added: Lord Rayleigh, The Theory of Sound, 1896, § 303–307 and appendix A. Speed of "
        "sound in dry air: 331.3 m/s at 0 °C, as the square root of the absolute temperature."
    ),
    "end-angles": (
        "Right triangles and arcs: the straight line over the joint, and the gap ℓ·tan|Δ| a block leaves; the angle "
        "between tangent and chord of an arc is half of the arc’s own (Euclid, Elements, III.32)."
    ),
    "bracing": (
        "Plane geometry, seen square from above: chords of the outline, shortest distances, areas in common; how near "
        "the edge a sound hole may lie is common practice."
    ),
    "rocker": (
        "A straight edge over three neighbouring frets rocks where the middle one stands above the line through the "
        "other two, each weighed by the gap to the other (plane geometry). Feelers of 0.001 to 0.002 in, and seating a "
        "low fret anew rather than filing its neighbours: common practice."
    ),
    "straight-line": "Plane geometry: the straight line through two points, and similar triangles under a rocker.",
    "convex-minorant": (
        "The greatest convex function below given points is the lower side of their convex hull (R. T. Rockafellar, "
        "Convex Analysis, 1970)."
    ),
    "as-built": "The place as measured on the finished instrument less the exact place.",
    "reading-error": (
        "A rule read to its nearest mark leaves half the distance between two marks open on either side."
    ),
    "rms": "Root of the mean of the squares of all errors.",
}
