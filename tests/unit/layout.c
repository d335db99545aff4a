/* The one layout: every rule of it, by a text and what becomes of it. */
#include "unit/support.h"

#include "syntax/parse.h"
#include "syntax/reader.h"

/* A text laid out; NULL where it is refused. Free the arena. */
static const char *laid_out(struct arena *arena, const char *text, size_t *findings) {
    struct source_map sources = source_map_in(arena);
    struct report report = report_in(arena, &sources);
    struct source *source = source_add(&sources, "test", text, strlen(text));
    assert_true(reader_judge(&report, source));
    struct parser *parser = parser_new();
    struct output out = output_to(arena);
    bool done = lay_out(parser, arena, &report, source, &out);
    parser_free(parser);
    if (findings != NULL) *findings = report.findings.count;
    return done ? output_text(&out) : NULL;
}

static void becomes(const char *text, const char *wanted) {
    OPEN_ARENA(arena);
    const char *got = laid_out(arena, text, NULL);
    if (got == NULL) fail_msg("refused: %s", text);
    if (strcmp(got, wanted) != 0) fail_msg("from:\n%s\ncame:\n%s\nnot:\n%s", text, got, wanted);
    const char *again = laid_out(arena, got, NULL);
    if (again == NULL || strcmp(again, got) != 0) fail_msg("again:\n%s", again);
    arena_free(arena);
}

/* A statement of a frame that stands alone in its block. */
static void statement(const char *text, const char *wanted) {
    char from[2000], to[2000];
    snprintf(from, sizeof from, "frame f {\n%s\n}", text);
    snprintf(to, sizeof to, "frame f {\n  %s\n}\n", wanted);
    becomes(from, to);
}

static void test_nothing(void **state) {
    (void)state;
    becomes("", "");
    becomes("\n ;;\n\n", "");
    becomes("# only this", "# only this\n");
    becomes("\n\n# a\t \r\n\n\n# b\n\n", "# a\n\n# b\n");
    becomes("#!first\nuse \"x\"", "#!first\nuse \"x\"\n");
}

static void test_spaces(void **state) {
    (void)state;
    statement("wall   11mm", "wall  11 mm");
    statement("tension 20 .. 28lb", "tension  20..28 lb");
    statement("tension 26lb,last pulls+5%, M1..M2 - 2 N",
              "tension  26 lb, last pulls +5 %, M1..M2 -2 N");
    statement("tension mains+ 1 lb", "tension  mains +1 lb");
    statement("holes head M1 ..M6 - M9 + C2 ,-,C3", "holes head  M1..M6 - M9+C2, -, C3");
    statement("tie-off 5T ,left  6H", "tie-off  5T, left 6H");
    statement("density 1.12g/cm3", "density  1.12 g/cm3");
    statement("clamps 2 fixed ,1 starting", "clamps  2 fixed, 1 starting");
    statement("long\tthread left M1 , pull M1 from throat over first , tie 6H",
              "long  thread left M1, pull M1 from throat over first, tie 6H");
    statement("note \"a  b # c\"", "note  \"a  b # c\"");
    statement("sport tie-off", "sport  tie-off");
    statement("squeeze 180N  per mm wide ,240 N per mm long",
              "squeeze  180 N per mm wide, 240 N per mm long");
}

/* One word leads; what follows stands in a column but behind longer heads and phrases. */
static void test_columns(void **state) {
    (void)state;
    becomes("pattern p for f {\n one piece, long side left\n string s\n pre-stretch 4 %\n"
            " mains from head\n\n long M1\n short M1\n}",
            "pattern p for f {\n  one piece, long side left\n  string s\n  pre-stretch 4 %\n"
            "  mains  from head\n\n  long  M1\n  short M1\n}\n");
    becomes(
        "frame f {\n sport x\n holes head M1\n holes left throat M1\n short side left\n lanes 2\n}",
        "frame f {\n  sport  x\n  holes head         M1\n  holes left throat  M1\n"
        "  short side left\n  lanes  2\n}\n");
    becomes(
        "bench b {\n clamps 1 fixed\n # apart\n reach 1 m\n mount x # not apart\n note \"n\"\n}",
        "bench b {\n  clamps 1 fixed\n  # apart\n  reach 1 m\n  mount x  # not apart\n"
        "  note  \"n\"\n}\n");
}

static void test_statements(void **state) {
    (void)state;
    becomes("bench b {; reach 1 m;; mount x ;\n\n\n;note \"n\"\n\n}",
            "bench b {\n  reach 1 m\n  mount x\n\n  note \"n\"\n}\n");
    becomes("bench b {\r\n\r\n reach 1 m\r\n}\r\n", "bench b {\n  reach 1 m\n}\n");
}

static void test_wrapping(void **state) {
    (void)state;
    const char *flat = "tape 1H at 10.000 mm, 2H at 20.000 mm, 3H at 30.000 mm, 4H at 40.000 mm,\n"
                       "5H at 50.000 mm, 6H at 60.000 mm";
    statement(flat, "tape  1H at 10.000 mm, 2H at 20.000 mm, 3H at 30.000 mm, 4H at 40.000 mm, "
                    "5H at 50.000 mm,\n        6H at 60.000 mm");
    /* a hundred columns fit, one more does not */
#define NINETEEN                                                                                   \
    "1H, 2H, 3H, 4H, 5H, 6H, 7H, 8H, 9H, 10H, 11H, 12H, 13H, 14H,"                                 \
    " 15H, 16H, 17H, 18H, 19H"
    statement("tie-off " NINETEEN ",20H", "tie-off  " NINETEEN ", 20H");
    statement("tie-off " NINETEEN ",0H,0H", "tie-off  " NINETEEN ", 0H,\n           0H");
    statement("tie-off " NINETEEN ",right 1H", "tie-off  " NINETEEN ",\n           right 1H");
    /* a list of slots gets the comma that a break needs, and no side is torn off its strand */
    statement("holes head M1 M2 M3 M4 M5 M6 M7 M8 M9 M10 M11 M12 M13 M14 M15 M16 M17 M18 M19 M20 "
              "M21 M22 left C1 C2",
              "holes head  M1 M2 M3 M4 M5 M6 M7 M8 M9 M10 M11 M12 M13 M14 M15 M16 M17 M18 M19 M20 "
              "M21 M22,\n              left C1 C2");
    statement(
        "note \"0123456789012345678901234567890123456789012345678901234567890123456789012345678"
        "9012345678901234567890123456789\"",
        "note  \"012345678901234567890123456789012345678901234567890123456789012345678901234567"
        "89012345678901234567890123456789\"");
    statement("one piece, # c\nlong side left", "one piece,  # c\n    long side left");
}

static void test_comments(void **state) {
    (void)state;
    becomes("frame f # head\n# between\n{ # open\n# own\nlanes 2;# behind\n  # last\n} # end",
            "frame f {  # head\n  # between\n  # open\n  # own\n  lanes  2  # behind\n  # last\n}"
            "  # end\n");
    becomes("frame f {# open \t\r\n\n lanes 2; wall 1 mm # of wall\n}",
            "frame f {  # open\n  lanes  2\n  wall   1 mm  # of wall\n}\n");
    becomes("frame f {\n tie-off 1H, # one\n\n  # two\n\n   # three\n 2H,\n 3H # four\n lanes 2\n}",
            "frame f {\n  tie-off  1H,  # one\n           # two\n           # three\n"
            "           2H, 3H  # four\n  lanes    2\n}\n");
    becomes("frame f {\n#\n\n\n#\n}", "frame f {\n  #\n\n  #\n}\n");
    becomes("use \"a\" # first\nuse \"b\" # second", "use \"a\"  # first\nuse \"b\"  # second\n");
}

static void test_definitions(void **state) {
    (void)state;
    becomes("use \"a\"\n\nuse \"b\"\nframe f {\n}\nuse \"c\"\nframe g {\n}",
            "use \"a\"\nuse \"b\"\n\nframe f {\n}\n\nuse \"c\"\n\nframe g {\n}\n");
    becomes("frame f {\n}\n# of g\nframe g {\n}\n# end",
            "frame f {\n}\n\n# of g\nframe g {\n}\n# end\n");
    becomes("# file\n\n# of f\nframe   f   \"F\"\n{\n}", "# file\n\n# of f\nframe f \"F\" {\n}\n");
    becomes("pattern p \"P\"\tfor f{\ntwo pieces}", "pattern p \"P\" for f {\n  two pieces\n}\n");
}

static void test_one_line(void **state) {
    (void)state;
    becomes("string s{gauge 1mm;length 10m;}", "string s { gauge 1 mm; length 10 m }\n");
    becomes("bench b{ } bench c{;}; bench d {\n}", "bench b {}\nbench c {}\n\nbench d {\n}\n");
    becomes("string a \"\xC3\xA9\xC3\xA9\" { gauge 1 mm }\nbench long-name \"abc\" { reach 1 m "
            "}\nbench c {}\n\nbench d {}",
            "string a         \"\xC3\xA9\xC3\xA9\"  { gauge 1 mm }\nbench  long-name \"abc\" { "
            "reach 1 m }\n"
            "bench  c               {}\n\nbench d {}\n");
    becomes("bench a {} # a\nbench bb {}\n# c\nbench c {}",
            "bench a  {}  # a\nbench bb {}\n# c\nbench c {}\n");
    /* what does not fit on a line becomes a block; a row that would grow too long is not aligned */
    becomes("string s \"0123456789012345678901234567890123456789\" { gauge 1.25 mm; density 1.12 "
            "g/cm3; "
            "note \"not\" }",
            "string s \"0123456789012345678901234567890123456789\" {\n  gauge   1.25 mm\n"
            "  density 1.12 g/cm3\n  note    \"not\"\n}\n");
    becomes("string s \"0123456789012345678901234567890123456789012345678901234567\" { gauge 1.25 "
            "mm }\n"
            "string t { gauge 1.25 mm; density 1.12 g/cm3 }",
            "string s \"0123456789012345678901234567890123456789012345678901234567\" { gauge 1.25 "
            "mm }\n"
            "string t { gauge 1.25 mm; density 1.12 g/cm3 }\n");
}

static void refused(const char *text) {
    OPEN_ARENA(arena);
    size_t findings;
    assert_null(laid_out(arena, text, &findings));
    assert_true(findings > 0);
    arena_free(arena);
}

static void test_refused(void **state) {
    (void)state;
    static const char *const texts[] = {
        "frame f {", "frame f { lanes }", "lanes 2", "frame f { wall .5 mm }",
        "frame f {\n lanes 2\n}\nframe g {\n nonsense\n}\nframe h {\n}"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        refused(texts[i]);
}

/* No tree and no words of what is printed are kept: memory does not grow with the text. */
static void test_memory(void **state) {
    (void)state;
    enum { TIMES = 400 };
    static const char block[] =
        "pattern p for f {\n  two pieces\n  left M1..M4, thread 1 ahead, tie 6T\n}\n\n";
    OPEN_ARENA(arena);
    struct output text = output_with_room(arena, sizeof block * TIMES);
    for (int i = 0; i < TIMES; i++)
        put(&text, block);
    struct source_map sources = source_map_in(arena);
    struct report report = report_in(arena, &sources);
    struct source *source = source_add(&sources, "test", text.at, text.length);
    struct output out = output_with_room(arena, 2 * text.length);
    struct parser *parser = parser_new();
    size_t before = arena_used(arena);
    assert_true(lay_out(parser, arena, &report, source, &out));
    assert_true(arena_used(arena) - before < 16 * 1024);
    assert_int_equal(out.length, text.length - 1);
    parser_free(parser);
    arena_free(arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_nothing),     cmocka_unit_test(test_spaces),
        cmocka_unit_test(test_columns),     cmocka_unit_test(test_statements),
        cmocka_unit_test(test_wrapping),    cmocka_unit_test(test_comments),
        cmocka_unit_test(test_definitions), cmocka_unit_test(test_one_line),
        cmocka_unit_test(test_refused),     cmocka_unit_test(test_memory),
    };
    return cmocka_run_group_tests_name("layout", tests, NULL, NULL);
}
