//! Every code a diagnostic of a design file may carry.
//!
//! Codes are stable: a meaning may be sharpened, a number is never reused. Retired: G0017 and
//! G0018, which refused bodies of steel and sweeps of a voltage before they could be computed.

/// A code and its meaning in one line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Code {
    /// `G0102`.
    pub id: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

macro_rules! codes {
    ($($name:ident $id:literal $meaning:literal;)*) => {
        $(#[doc = $meaning]
        pub const $name: Code = Code { id: $id, meaning: $meaning };)*
        /// All of them, in order.
        pub const CODES: &[Code] = &[$($name),*];
    };
}

codes! {
    NOT_TOML "G0001" "the file is not valid TOML";
    UNKNOWN_KEY "G0002" "a key is not known in its table";
    MISSING_KEY "G0003" "a key that is needed is missing";
    WRONG_TYPE "G0004" "a value is of the wrong kind";
    UNKNOWN_WORD "G0005" "a word is not one of those allowed";
    FORMAT_MISSING "G0006" "the file does not state its format version";
    FORMAT_UNKNOWN "G0007" "the format version is not known to this program";
    FILE_UNREADABLE "G0008" "a file named in the design cannot be read";
    CATALOGUE_FAULTY "G0009" "a catalogue file has faults of its own";
    NO_UNIT "G0010" "a quantity is a bare number without a unit";
    NOT_THREE "G0011" "three values are needed, one each for x, y and z";
    OUT_OF_RANGE "G0012" "a value is outside what the program can compute";
    KEYS_EXCLUDE "G0013" "two keys say the same thing, or exclude each other";
    KEY_OUT_OF_PLACE "G0014" "a key does not belong to this shape or kind";
    WRONG_QUANTITY "G0015" "a quantity is of another kind than its key";
    ZERO_DIRECTION "G0016" "a direction has no length";
    NO_SOURCE "G0019" "the design has nothing that makes a field";
    SHARES "G0020" "the shares of a mixture do not make one whole";

    BLADE_TOO_LONG "G0101" "the blades are longer than the contact";
    OVERLAP_TOO_LONG "G0102" "the overlap is longer than the blade";
    NOT_SQUARE "G0103" "axis and normal are not at right angles";
    RELEASE_ABOVE_OPERATE "G0104" "release does not lie below operate";
    LIMITS_TOUCH "G0105" "the limits of operate and release overlap";
    MIXED_THRESHOLDS "G0106" "operate and release are stated in different kinds of quantity";
    UNIFORM_NEEDS_FIELD "G0107" "ampere-turns need a test coil, not a uniform field";
    UNKNOWN_FAMILY "G0108" "the contact family is not in the catalogue";
    CLOSED_GAP_TOO_WIDE "G0109" "the closed gap is wider than the open gap";
    GLASS_TOO_LONG "G0110" "the glass is longer than the contact";
    GLASS_TOO_THIN "G0111" "the blade does not fit into the glass";
    BLADE_NOT_FLAT "G0112" "the blade is thicker than it is wide";
    BLADE_OUTSIDE_GLASS "G0113" "the flat part of the blades is longer than the glass";
    ALWAYS_CLOSED "G0114" "the open gap is no wider than the contact metals";

    INSIDE_OUT "G0201" "an inner diameter is not smaller than the outer one";
    UNKNOWN_GRADE "G0202" "the magnet grade is not known";
    NO_MATERIAL "G0203" "the magnet has neither grade nor remanence";
    UNKNOWN_MAGNET "G0204" "the magnet is not in the catalogue";
    NO_DRIVE "G0205" "a coil has no current and is no test coil";
    NEEDS_TURNS "G0206" "a current needs the number of turns";
    NO_SECTION "G0207" "a coil has no diameter";
    CIRCLE_UPRIGHT "G0208" "the first of a circle stands on its axis";
    ODD_POLES "G0209" "an odd number of magnets cannot alternate all round";
    UNKNOWN_WIRE "G0210" "the wire is not known";
    OVERFULL "G0211" "the wire does not fit on the bobbin";
    NO_BOBBIN "G0212" "a wire is wound on nothing";
    NO_RESISTANCE "G0213" "the resistance of a coil is not known";

    NAME_TWICE "G0301" "two things have the same name";
    UNKNOWN_NAME "G0302" "nothing has that name";
    UNUSABLE_NAME "G0303" "a text cannot be a name";

    GOES_NOWHERE "G0401" "the sweep begins where it ends";
    COORDINATE_STILL "G0402" "the chosen coordinate does not change along the sweep";
    TOO_FEW_POSES "G0403" "a table sweep needs at least two poses";
    POSES_HEADER "G0404" "the header of the pose file is not understood";
    POSES_ROW "G0405" "a row of the pose file is not understood";
    REPLACED "G0406" "a value is stated that the sweep replaces";

    REGION_OFF_SWEEP "G0501" "the demand lies outside the sweep";
    REGION_PARTLY_OFF "G0502" "part of the demand lies outside the sweep";
    CONTRADICTION "G0503" "the same contact is demanded both closed and open at one place";
    NOTHING_DEMANDED "G0504" "a demand does not say what it demands";
    SEVERAL_DEMANDED "G0505" "a demand says more than one thing";
    UNKNOWN_FIGURE "G0506" "the design tells no such figure";

    NO_PERMEABILITY "G0601" "a body of steel has neither permeability nor alloy";
    UNKNOWN_ALLOY "G0602" "the alloy is not known";
    MESH_UNREADABLE "G0603" "a file of triangles is not understood";
    NO_BOXES "G0604" "a body of boxes has no box";
    BOXES_APART "G0605" "the boxes of a body do not hang together";
    STEEL_INSIDE "G0606" "a body of steel and something else are in the same place";

    NO_QUANTITY "G0701" "a correlation names no quantity of the design";
    NOT_CORRELATED "G0702" "quantities cannot be correlated";
    CORRELATIONS_CLASH "G0703" "correlations contradict each other";
    NOTHING_VARIES "G0704" "a quantity that has a correlation carries no tolerance";
    NOTHING_FREE "G0801" "nothing is left to choose";
    NOT_FREE "G0802" "a path leads to nothing that can be chosen";
    NOT_STATED "G0803" "what is to be chosen has no starting value in the file";
    NO_RANGE "G0804" "a range to choose from is none";
    SIZE_NEEDS_STEP "G0805" "a size that costs is chosen without steps";
    TOO_MANY_CHOICES "G0806" "there is more to choose from than can be gone through";
    COST_OF_NO_RELAY "G0807" "power is to be least without a relay";

    NO_FLOAT "G0951" "a level sweep has no float";
    ONLY_LEVEL "G0952" "a table belongs to a level sweep alone";
    STOPS "G0953" "the stops or the pivot leave the float no way";
    UNKNOWN_LIQUID "G0954" "the liquid is not known";
    NO_DEPTH "G0955" "the end of a tank has no depth, or one it cannot have";
    STRAPPING "G0956" "a tank's table of volumes is not understood";
    SLOSH_NEEDS_TANK "G0957" "what sloshes is not known";
    NO_PITCH "G0958" "a contact repeats at one place";

    ROTOR_WITHOUT_TURN "G1001" "a rotor needs a spin of a whole turn";
    FLOWS_OUT_OF_ORDER "G1002" "least, usual and greatest flow are not in their order";
    FLOW_UNKNOWN "G1003" "a flow is stated where pulses have nothing to do with one";

    NO_DOOR "G1101" "a door neither runs along a line nor turns on an arc";
    EDGE_WITHOUT_HINGE "G1102" "a door without a hinge has an edge measured from one";

    NO_TARGET "G1201" "a target is no steel that moves along a line";

    LOAD_IMPOSSIBLE "G1301" "a load cannot draw what is stated of it";
    UNKNOWN_METAL "G1302" "the metal of the contact faces is not known";
    LIFE_FILE "G1303" "a file of a life test is not understood";
    NO_LIFE "G1304" "no life can be told from a test";
    UNKNOWN_GLASS "G1305" "the glass is not known";

    RELAY_WITHOUT_DRIVE "G1401" "a relay's coil is not the one that the sweep drives";

    NO_LATCH "G1501" "a latch belongs to a sweep that never ends";
    NO_BIAS "G1502" "nothing holds a latching contact while what changes is away";
}

/// The meaning of `id`, if it is one of ours.
pub fn meaning(id: &str) -> Option<&'static str> {
    CODES.iter().find(|code| code.id == id).map(|code| code.meaning)
}
