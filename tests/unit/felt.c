/* From a text to its bed: what is known and what is assumed, and what cannot be worked with. */
#include "unit/support.h"

#include "mechanics/bed.h"

#define FRAME(more)                                                                                \
    "frame f { sport squash; inside 186 mm wide, 325 mm long; outline ellipse; wall 11 mm\n"       \
    "  holes head M1..M3 C1 C2; holes throat M1..M3 C4 C3; tie-off 2H, 3H, 2T, 3T; " more " }\n"
#define LEGS                                                                                       \
    "  mains from head, M1..M3 on each side, pull 2 ahead\n  short tie 2T\n"                       \
    "  long C4..C1, tie 3H }\n"
#define PATTERN                                                                                    \
    "pattern p for f { one piece, long side right; tension 25 lb, last pulls +1 lb\n" LEGS

static struct selvage_request request_for(const char *text) {
    return (struct selvage_request){.name = "test", .text = {text, strlen(text)}};
}

static enum bed_fault fault_of(const char *text) {
    struct bench_top *top = compile_text(text);
    enum bed_fault fault;
    const struct bed *bed = bed_of(first_pattern(top), &fault, top->c.arena);
    assert_true((bed != NULL) == (fault == BED_SOUND));
    put_away(top);
    return fault;
}

static void test_faults(void **state) {
    (void)state;
    assert_int_equal(fault_of(FRAME("lanes 2") PATTERN), BED_SOUND);
    assert_int_equal(
        fault_of(FRAME("tension 20..28 lb") "pattern p for f { one piece, long side right\n" LEGS),
        BED_SOUND);
    assert_int_equal(
        fault_of(FRAME("lanes 2") "pattern p for f { one piece, long side right\n" LEGS),
        BED_NO_TENSION);
    assert_int_equal(fault_of(FRAME("squeeze 130 N per mm wide, 5000 N per mm long") PATTERN),
                     BED_SQUEEZE_NO_THROAT);
    assert_int_equal(fault_of(FRAME("squeeze 130 N per mm wide, 5 N per mm long") PATTERN),
                     BED_SQUEEZE_NO_THROAT);
    for (int fault = BED_NO_LIBRARY; fault <= BED_UNSOUND; fault++)
        assert_true(strlen(bed_fault_words((enum bed_fault)fault)) > 20);
}

/* Stiffer than the language lets anybody write. */
static void test_too_stiff(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(FRAME("squeeze 130 N per mm") PATTERN);
    struct pattern pattern = *first_pattern(top);
    struct frame frame = *pattern.frame;
    frame.squeeze_wide = 1e6;
    pattern.frame = &frame;
    enum bed_fault fault;
    assert_null(bed_of(&pattern, &fault, top->c.arena));
    assert_int_equal(fault, BED_SQUEEZE_TOO_STIFF);
    put_away(top);
}

/* By the library: the place of the line that does not fit, or of the pattern. */
static void test_where(void **state) {
    (void)state;
    static const struct {
        const char *text, *words;
    } rows[] = {{FRAME("squeeze 130 N per mm wide, 5000 N per mm long") PATTERN,
                 "test:2:79: squeeze: no throat goes with both figures"},
                {FRAME("lanes 2") "pattern p for f { one piece, long side right\n" LEGS,
                 "test:3:9: no tension is known to pull with"}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct selvage_request request = request_for(rows[i].text);
        selvage_compilation *c = selvage_compile(&request);
        struct selvage_text text;
        assert_int_equal(selvage_bed(c, 0, false, SELVAGE_BED_TEXT, &text), SELVAGE_UNFIT);
        if (strstr(text.bytes, rows[i].words) != text.bytes) fail_msg("%s", text.bytes);
        assert_int_equal(selvage_feel(c, 0, &text), SELVAGE_UNFIT);
        assert_int_equal(selvage_emit(c, 0, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
        selvage_free(c);
    }
}

static const struct bed_fact *fact(const struct bed *bed, const char *what) {
    for (size_t i = 0; i < bed->facts.count; i++)
        if (strcmp(bed->facts.at[i].what, what) == 0) return &bed->facts.at[i];
    fail_msg("no fact %s", what);
    return NULL;
}

/* Where nothing is said all is assumed; what is said is not, and is in the words. */
static void test_facts(void **state) {
    (void)state;
    static const char all[] =
        FRAME("squeeze 130 N per mm wide, 455 N per mm long") "string s { gauge 1.25 mm; stiffness "
                                                              "7000 N }\n"
                                                              "bench b { clamps 2 fixed, 1 "
                                                              "starting; mount two-point, 1500 N "
                                                              "per mm; draw-back 0.3 mm }\n"
                                                              "pattern p for f { one piece, long "
                                                              "side right; tension 25 lb, last "
                                                              "pulls +1 lb; string "
                                                              "s; bench b\n" LEGS;
    static const struct {
        const char *what, *words;
        bool always_assumed;
    } rows[] = {{"hoop.bending", "130 N per mm", false}, {"hoop.axial", "3 MN", true},
                {"hoop.throat", "455 N per mm", false},  {"string.stiffness", "7 kN", false},
                {"bench.mount", "two-point", false},     {"bench.mount_stiffness", "1500 N", false},
                {"bench.draw_back", "0.3 mm", false}};
    for (int said = 0; said < 2; said++) {
        struct bench_top *top = compile_clean(said == 1 ? all : FRAME("lanes 2") PATTERN);
        enum bed_fault fault;
        const struct bed *bed = bed_of(first_pattern(top), &fault, top->c.arena);
        assert_int_equal(fault, BED_SOUND);
        assert_int_equal(bed->facts.count, sizeof rows / sizeof *rows);
        for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
            const struct bed_fact *at = fact(bed, rows[i].what);
            assert_int_equal(at->assumed, said == 0 || rows[i].always_assumed);
            if (said == 1 && strstr(at->words, rows[i].words) == NULL) fail_msg("%s", at->words);
        }
        assert_int_equal(bed->sweep->sets, said == 1 ? HOOPS : 144);
        put_away(top);
    }
}

/* Strings of two kinds have a fact each, and what is known of one is not known of all. */
static void test_two_strings(void **state) {
    (void)state;
    struct bench_top *top = compile_clean(
        FRAME("lanes 2") "string s { gauge 1.25 mm; stiffness 7000 N }\n"
                         "string t { gauge 1.25 mm; material polyester }\n"
                         "pattern p for f { two pieces; tension 25 lb, last pulls +1 lb; string "
                         "mains s, crosses t\n"
                         "  mains from head, M1..M3 on each side, pull 2 ahead\n  left tie 2T\n"
                         "  right tie 2T\n  cross start right 3H, C1..C4, tie 3T }\n");
    enum bed_fault fault;
    const struct bed *bed = bed_of(first_pattern(top), &fault, top->c.arena);
    assert_int_equal(fault, BED_SOUND);
    int assumed = 0, strings = 0;
    for (size_t i = 0; i < bed->facts.count; i++) {
        bool string = strcmp(bed->facts.at[i].what, "string.stiffness") == 0;
        strings += string;
        assumed += string && bed->facts.at[i].assumed;
    }
    assert_int_equal(strings, 2);
    assert_int_equal(assumed, 1);
    assert_false(bed->known.string);
    put_away(top);
}

/* Of two beds that is known which is known of both. */
static void test_known_of_both(void **state) {
    (void)state;
    struct bed a = {.known = {true, false, true, MOUNT_KNOWN}};
    struct bed b = {.known = {false, true, false, MOUNT_PLACES_KNOWN}};
    struct known_values both = known_of_both(&a, &b);
    assert_true(both.hoop && !both.throat && !both.string && both.mount == MOUNT_PLACES_KNOWN);
    both = known_of_both(&b, &a);
    assert_true(!both.hoop && both.throat && !both.string && both.mount == MOUNT_PLACES_KNOWN);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_faults),      cmocka_unit_test(test_too_stiff),
        cmocka_unit_test(test_where),       cmocka_unit_test(test_facts),
        cmocka_unit_test(test_two_strings), cmocka_unit_test(test_known_of_both),
    };
    return cmocka_run_group_tests_name("felt", tests, NULL, NULL);
}
