/* Scanner and parser: words, names, recovery. Comments: layout.c. */
#include "unit/support.h"

#include "syntax/parse.h"
#include "syntax/reader.h"

/* A text parsed, with its tree. */
struct parsed {
    struct arena *arena;
    jmp_buf escape;
    struct source_map sources;
    struct report report;
    struct tree *tree;
};

static struct parsed *parse_text(const char *text) {
    struct arena *arena = arena_new(NULL, LIMIT_MEMORY);
    struct parsed *p = arena_try(arena, sizeof *p);
    p->arena = arena;
    arena_set_escape(arena, &p->escape);
    if (setjmp(p->escape) != 0) no_escape();
    p->sources = source_map_in(arena);
    p->report = report_in(arena, &p->sources);
    struct source *source = source_add(&p->sources, "test", text, strlen(text));
    assert_true(reader_judge(&p->report, source));
    struct parser *parser = parser_new();
    p->tree = parse(parser, arena, &p->report, source);
    parser_free(parser);
    return p;
}

/* A line ends at its end, at ";" and before "}"; after a comma it goes on; "{" may open below. */
static void test_line_ends(void **state) {
    (void)state;
    struct parsed *p =
        parse_text("\n;;\nframe f\n\n# between\n{ lanes 2; wall 3 mm\n\n tie-off 1H,\n"
                   "   # in between\n   2H,\n 3H; ; sport x }; bench b {}\n string s { }");
    assert_int_equal(p->report.findings.count, 0);
    const struct tree_definition *frame = p->tree->definitions;
    int lines = 0;
    for (const struct tree_line *line = frame->lines; line != NULL; line = line->next)
        lines++;
    assert_int_equal(lines, 4);
    assert_int_equal(frame->next->kind, DEFINE_BENCH);
    assert_int_equal(frame->next->next->kind, DEFINE_STRING);
    arena_free(p->arena);
}

static void test_any_word_may_be_a_name(void **state) {
    (void)state;
    static const char *const words[] = {
#define WORD(token, spelling) spelling,
#include "keywords.def"
#undef WORD
    };
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        char text[600];
        const char *w = words[i];
        snprintf(text, sizeof text,
                 "frame %s { sport %s }\nstring %s { gauge 1 mm }\nbench %s { mount %s }\n"
                 "pattern %s \"t\" for %s { string %s; bench %s; string mains %s, crosses %s }\n",
                 w, w, w, w, w, w, w, w, w, w, w);
        struct parsed *p = parse_text(text);
        if (p->report.findings.count > 0) fail_msg("%s: %s", w, p->report.findings.at[0]->message);
        const struct tree_definition *d = p->tree->definitions;
        for (int k = 0; k < 4; k++, d = d->next)
            assert_string_equal(d->name.text, w);
        arena_free(p->arena);
    }
}

static const char *message(const struct parsed *p, size_t number) {
    assert_true(p->report.findings.count > number);
    return p->report.findings.at[number]->message;
}

static const char *help(const struct parsed *p, size_t number) {
    assert_true(p->report.findings.count > number);
    const char *text = p->report.findings.at[number]->help;
    return text != NULL ? text : "";
}

/* Each trap is told once, at its place, with what to write. */
static void test_traps(void **state) {
    (void)state;
    static const struct {
        const char *line, *help;
        enum rule rule;
    } rows[] = {
        {"holes head M1-M6", "write M1..M6", RULE_malformed},
        {"tape 7 H at 5 mm", "7H", RULE_syntax},
        {"tie-off 7h", "write 7H", RULE_malformed},
        {"tie-off 12t", "write 12T", RULE_malformed},
        {"long m1..m6", "capital: M1", RULE_syntax},
        {"long M01", "write M1", RULE_malformed},
        {"tie-off 07H", "write 7H", RULE_malformed},
        {"wall 1,20 mm", "write 1.20", RULE_malformed},
        {"long tie off 6H", "tie 6H", RULE_syntax},
        {"one-piece", "one piece", RULE_syntax},
        {"wall 11 lbs", "write: lb", RULE_syntax},
        {"long \xD0\x9C"
         "1",
         "Latin", RULE_stray},
        {"note \xE2\x80\x9Chi\xE2\x80\x9D", "straight", RULE_stray},
        {"holes head M1\xE2\x80\x93M6", "two points", RULE_stray},
        {"wall 11\xC2\xA0mm", "plain space", RULE_stray},
        {"note 'hi'", "double quotes", RULE_stray},
        {"note \"hi", "end it with", RULE_open_title},
        {"tension .5 lb", "0.5", RULE_malformed},
        {"long H", "7H", RULE_malformed},
        {"long M", "M3", RULE_malformed},
        {"crosses From head", "from", RULE_malformed},
        {"mains from top", "head", RULE_syntax},
        {"cross C1 over", "", RULE_syntax},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[200];
        snprintf(text, sizeof text, "frame f {\n  %s\n  lanes 2\n}\n", rows[i].line);
        struct parsed *p = parse_text(text);
        if (p->report.findings.count != 1)
            fail_msg("%s: %zu findings", rows[i].line, p->report.findings.count);
        assert_int_equal(p->report.findings.at[0]->rule, rows[i].rule);
        if (strstr(help(p, 0), rows[i].help) == NULL)
            fail_msg("%s: %s; help: %s", rows[i].line, message(p, 0), help(p, 0));
        struct source_place place = source_place(&p->sources, p->report.findings.at[0]->span.start);
        assert_int_equal(place.line, 2);
        /* the line after it is read all the same */
        const struct tree_line *last = p->tree->definitions->lines;
        while (last->next != NULL)
            last = last->next;
        assert_int_equal(last->kind, LINE_LANES);
        assert_true(p->tree->definitions->damaged);
        arena_free(p->arena);
    }
}

static void test_range_is_not_a_decimal(void **state) {
    (void)state;
    struct parsed *p =
        parse_text("frame f { tension 20..28 lb; wall 1.25 mm; inside 186mm wide, 32.5cm long }");
    assert_int_equal(p->report.findings.count, 0);
    const struct tree_line *line = p->tree->definitions->lines;
    assert_int_equal(line->kind, LINE_RANGE);
    assert_true(line->as.range.least.value == 20 && line->as.range.most.value == 28);
    assert_int_equal(line->as.range.most.unit, UNIT_LB);
    assert_true(line->next->as.number.value == 1.25);
    assert_true(line->next->next->as.inside.length.value == 32.5);
    arena_free(p->arena);
}

static void test_trailing_comma(void **state) {
    (void)state;
    struct parsed *p = parse_text("frame f {\n  tie-off 1H, 2H,\n}\nbench b { mount x }\n");
    assert_int_equal(p->report.findings.count, 1);
    assert_string_equal(help(p, 0), "take the comma out");
    assert_int_equal(source_place(&p->sources, p->report.findings.at[0]->span.start).line, 2);
    assert_int_equal(p->tree->definitions->next->kind, DEFINE_BENCH);
    arena_free(p->arena);
}

/* A block that is never closed is closed before the next definition, and where it opened is shown.
 */
static void test_open_block(void **state) {
    (void)state;
    static const char *const after[] = {"frame g { lanes 1 }", "pattern p for f { two pieces }",
                                        "string s \"S\" { gauge 1 mm }", "bench b { reach 1 m }",
                                        ""};
    for (size_t i = 0; i < sizeof after / sizeof *after; i++) {
        char text[200];
        snprintf(text, sizeof text, "frame f {\n  lanes 2\n%s\n", after[i]);
        struct parsed *p = parse_text(text);
        assert_int_equal(p->report.findings.count, 1);
        assert_int_equal(p->report.findings.at[0]->rule, RULE_block_open);
        assert_int_equal(
            source_place(&p->sources, p->report.findings.at[0]->notes->span.start).line, 1);
        assert_int_equal(p->tree->definitions->kind, DEFINE_FRAME);
        assert_true((p->tree->definitions->next != NULL) == (after[i][0] != '\0'));
        arena_free(p->arena);
    }
}

static void test_spans_begin_and_end_at_words(void **state) {
    (void)state;
    const char *text = "frame f {\n  guide   left 7H   front  # c\n}";
    struct parsed *p = parse_text(text);
    struct span span = p->tree->definitions->lines->span;
    uint32_t base = p->tree->source->base;
    assert_memory_equal(text + (span.start - base), "guide", 5);
    assert_memory_equal(text + (span.end - base) - 5, "front", 5);
    span = p->tree->definitions->lines->as.guide.hole.span;
    assert_memory_equal(text + (span.start - base), "left 7H", 7);
    assert_int_equal(span.end - span.start, 7);
    arena_free(p->arena);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_line_ends),
        cmocka_unit_test(test_any_word_may_be_a_name),
        cmocka_unit_test(test_traps),
        cmocka_unit_test(test_range_is_not_a_decimal),
        cmocka_unit_test(test_trailing_comma),
        cmocka_unit_test(test_open_block),
        cmocka_unit_test(test_spans_begin_and_end_at_words),
    };
    return cmocka_run_group_tests_name("syntax", tests, NULL, NULL);
}
