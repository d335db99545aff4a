/* The public functions: as another program uses them. */
#include "unit/support.h"

#include <limits.h>
#include <stdlib.h>

static const char good[] = SMALL_FRAME SMALL_PATTERN;

/* Legs to be found: all of them, some, and some that no line allows. */
#define FREE_PATTERN "pattern free for small { one piece; tension 25 lb, last pulls +1 lb }\n"
#define REST_PATTERN                                                                               \
    "pattern rest for small { two pieces; tension 25 lb, last pulls +1 lb\n"                       \
    "  mains from throat\n  left M1..M2\n  cross C1..C4, thread 1 ahead\n  find the rest }\n"
#define CLASH_PATTERN                                                                              \
    "pattern clash for small { one piece; tension 25 lb, last pulls +1 lb\n"                       \
    "  crosses from head by long; mains from head; finish at head; loops up to 42 mm }\n"
#define BROKEN_PATTERN "pattern broken for small { one piece; short tie 2T }\n"

/* Memory that fails at a chosen request and counts what is out. */
struct meter {
    long requests, fail_at, out;
};

static void *meter_get(void *context, size_t size) {
    struct meter *meter = context;
    if (++meter->requests == meter->fail_at) return NULL;
    meter->out++;
    return malloc(size);
}

static void meter_put(void *context, void *memory) {
    struct meter *meter = context;
    meter->out--;
    free(memory);
}

static struct selvage_request request_for(const char *text) {
    return (struct selvage_request){.name = "test.slv", .text = {text, strlen(text)}};
}

static void test_every_output(void **state) {
    (void)state;
    struct selvage_request request = request_for(good);
    selvage_compilation *c = selvage_compile(&request);
    assert_int_equal(selvage_errors(c), 0);
    assert_int_equal(selvage_warnings(c), 0);
    assert_int_equal(selvage_first_code(c), 0);
    assert_int_equal(selvage_patterns(c), 1);
    assert_string_equal(selvage_pattern_name(c, 0), "try");
    assert_true(selvage_pattern_ready(c, 0));
    struct selvage_text report;
    assert_true(selvage_report(c, SELVAGE_TEXT, SELVAGE_ADVICE, &report));
    assert_int_equal(report.length, 0);
    for (int round = 0; round < 2; round++)
        for (int i = 0; i < SELVAGE_OUTPUTS; i++) {
            struct selvage_text text;
            assert_int_equal(selvage_emit(c, 0, (enum selvage_output)i, NULL, &text), SELVAGE_DONE);
            assert_true(text.length > 500);
            assert_int_equal(strlen(text.bytes), text.length);
        }
    selvage_free(c);
}

static void test_faulty_text_gives_findings_and_no_output(void **state) {
    (void)state;
    struct selvage_request request =
        request_for(SMALL_FRAME "pattern try for small { one piece; long C1 }");
    selvage_compilation *c = selvage_compile(&request);
    assert_true(selvage_errors(c) > 0);
    assert_int_equal(selvage_first_code(c), 301);
    assert_false(selvage_pattern_ready(c, 0));
    struct selvage_text text;
    assert_int_equal(selvage_emit(c, 0, SELVAGE_DRAWING, NULL, &text), SELVAGE_NOT_READY);
    assert_true(selvage_report(c, SELVAGE_TEXT, SELVAGE_ADVICE, &text));
    assert_non_null(strstr(text.bytes, "test.slv:"));
    selvage_free(c);
}

static void test_pages_are_found_by_code(void **state) {
    (void)state;
    struct selvage_text page, same;
    assert_true(selvage_explain("SV-301", &page));
    assert_int_equal(strncmp(page.bytes, "# SV-301 strand missed\n", 23), 0);
    assert_int_equal(strlen(page.bytes), page.length);
    assert_true(selvage_explain("301", &same) && same.bytes == page.bytes);
    assert_true(selvage_explain("sv-301", &same) && same.bytes == page.bytes);
    assert_true(selvage_explain(NULL, &page));
    assert_non_null(strstr(page.bytes, "SV-901"));
    assert_false(selvage_explain("SV-399", &page));
    assert_non_null(strstr(page.bytes, "SV-301"));
    assert_null(strstr(page.bytes, "SV-401"));
    assert_false(selvage_explain("", &page));
    assert_int_equal(strlen(page.bytes), page.length);
}

static bool read_file(void *context, const char *path, struct selvage_text *text) {
    const char **seen = context;
    *seen = path;
    if (strcmp(path, "lib/frames.slv") != 0) return false;
    *text = (struct selvage_text){SMALL_FRAME, strlen(SMALL_FRAME)};
    return true;
}

static void test_used_files_come_from_the_caller(void **state) {
    (void)state;
    const char *seen = NULL;
    struct selvage_request request = request_for("use \"../lib/frames.slv\"\n" SMALL_PATTERN);
    request.name = "jobs/today.slv";
    request.read = read_file;
    request.context = &seen;
    selvage_compilation *c = selvage_compile(&request);
    assert_non_null(seen);
    assert_true(selvage_pattern_ready(c, 0));
    selvage_free(c);
    request.read = NULL; /* nobody to read it: a finding */
    c = selvage_compile(&request);
    assert_int_equal(selvage_errors(c), 1);
    selvage_free(c);
}

static void test_one_pattern_only(void **state) {
    (void)state;
    struct selvage_request request = request_for(
        SMALL_FRAME "pattern broken for small { one piece; short tie 2T }\n" SMALL_PATTERN);
    request.pattern = "try";
    selvage_compilation *c = selvage_compile(&request);
    assert_int_equal(selvage_errors(c), 0);
    assert_int_equal(selvage_patterns(c), 2);
    assert_false(selvage_pattern_ready(c, 0));
    assert_true(selvage_pattern_ready(c, 1));
    selvage_free(c);
}

/* Sides exchanged by the request: left for right, also where the long side is assumed. */
static void test_sides(void **state) {
    (void)state;
    static const struct {
        enum selvage_sides sides;
        const char *pieces, *words;
    } rows[] = {
        {SELVAGE_AS_WRITTEN, "one piece, long side right", "\"long_side\":\"right\"}"},
        {SELVAGE_MIRRORED, "one piece, long side right",
         "\"long_side\":\"left\",\"mirrored\":true}"},
        {SELVAGE_MIRRORED, "one piece", "\"long_side\":\"left\",\"mirrored\":true}"},
        {SELVAGE_LONG_SIDE_LEFT, "one piece", "\"long_side\":\"left\",\"mirrored\":true}"},
        {SELVAGE_LONG_SIDE_RIGHT, "one piece", "\"long_side\":\"right\"}"},
        {SELVAGE_LONG_SIDE_LEFT, "one piece, long side left", "\"long_side\":\"left\"}"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        char text[2000];
        snprintf(text, sizeof text,
                 SMALL_FRAME "pattern p for small { %s; tension 25 lb\n"
                             "  mains from head, M1..M3 on each side, pull 2 ahead\n"
                             "  short tie 2T\n  long C4..C1, tie 3H }\n",
                 rows[i].pieces);
        struct selvage_request request = request_for(text);
        request.sides = rows[i].sides;
        selvage_compilation *c = selvage_compile(&request);
        struct selvage_text out;
        assert_int_equal(selvage_emit(c, 0, SELVAGE_EXPORT, NULL, &out), SELVAGE_DONE);
        assert_non_null(strstr(out.bytes, rows[i].words));
        if (rows[i].sides != SELVAGE_AS_WRITTEN)
            assert_null(strstr(out.bytes, "\"pattern.long_side\""));
        selvage_free(c);
    }
}

static void test_layout(void **state) {
    (void)state;
    struct selvage_request request = request_for("use \"none.slv\"\n bench  b{reach 1m}# c");
    request.layout_only = true;
    selvage_compilation *c = selvage_compile(&request);
    struct selvage_text text;
    assert_int_equal(selvage_errors(c), 0);
    assert_int_equal(selvage_patterns(c), 0);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(selvage_format(c, &text), SELVAGE_DONE);
        assert_string_equal(text.bytes, "use \"none.slv\"\n\nbench b { reach 1 m }  # c\n");
        assert_int_equal(strlen(text.bytes), text.length);
    }
    assert_int_equal(selvage_expand(c, &text), SELVAGE_NOT_READY);
    selvage_free(c);
    static const char *const refused[] = {"bench b { reach }", "bench \xFF", "bench b {\n}\n}"};
    for (size_t i = 0; i < sizeof refused / sizeof *refused; i++) {
        request.text = (struct selvage_text){refused[i], strlen(refused[i])};
        c = selvage_compile(&request);
        assert_true(selvage_errors(c) > 0);
        assert_int_equal(selvage_format(c, &text), SELVAGE_NOT_READY);
        assert_true(selvage_report(c, SELVAGE_TEXT, SELVAGE_ADVICE, &text) && text.length > 0);
        selvage_free(c);
    }
}

static void test_expansion(void **state) {
    (void)state;
    struct selvage_request request = request_for(good);
    selvage_compilation *c = selvage_compile(&request);
    struct selvage_text text;
    assert_int_equal(selvage_format(c, &text), SELVAGE_NOT_READY);
    for (int i = 0; i < 2; i++) {
        assert_int_equal(selvage_expand(c, &text), SELVAGE_DONE);
        assert_non_null(strstr(text.bytes, "  mains   from head, pull 2 ahead\n  long    M1..M2\n"
                                           "  short   M1..M3\n  long    M3\n  short   tie 2T\n"));
        assert_int_equal(strlen(text.bytes), text.length);
        assert_int_equal(selvage_emit(c, 0, SELVAGE_EXPORT, NULL, &text), SELVAGE_DONE);
    }
    selvage_free(c);
    request.findings_only = true;
    c = selvage_compile(&request);
    assert_int_equal(selvage_expand(c, &text), SELVAGE_NOT_READY);
    selvage_free(c);
    request = request_for(SMALL_FRAME SMALL_PATTERN
                          "pattern broken for small { one piece; short tie 2T }\n");
    c = selvage_compile(&request);
    assert_int_equal(selvage_expand(c, &text), SELVAGE_NOT_READY);
    selvage_free(c);
}

static size_t count_of(const char *text, const char *words) {
    size_t count = 0;
    while ((text = strstr(text, words)) != NULL) {
        text++;
        count++;
    }
    return count;
}

/* Every pattern that is ready can be searched, in every form, as often as one likes. */
static void test_search(void **state) {
    (void)state;
    struct selvage_request request =
        request_for(SMALL_FRAME SMALL_PATTERN FREE_PATTERN REST_PATTERN);
    selvage_compilation *c = selvage_compile(&request);
    assert_int_equal(selvage_errors(c), 0);
    for (size_t pattern = 0; pattern < 3; pattern++)
        for (int form = SELVAGE_COMPARE_TEXT; form <= SELVAGE_COMPARE_JSON; form++) {
            char *first = NULL;
            for (int round = 0; round < 2; round++) {
                struct selvage_text text = {NULL, 0};
                assert_int_equal(
                    selvage_search(c, pattern, 3, (enum selvage_comparison)form, &text),
                    SELVAGE_DONE);
                assert_true(text.length > 500);
                assert_int_equal(strlen(text.bytes), text.length);
                bool written = pattern == 0;
                assert_int_equal(strstr(text.bytes, "written") != NULL, written);
                if (first != NULL) assert_string_equal(text.bytes, first);
                free(first);
                first = malloc(text.length + 1);
                memcpy(first, text.bytes, text.length + 1);
            }
            free(first);
        }
    selvage_free(c);
}

static char *copy_of(struct selvage_text text) {
    char *copy = malloc(text.length + 1);
    memcpy(copy, text.bytes, text.length + 1);
    return copy;
}

/* In every form, with and without even pulls, in any order, as often as one likes. */
static void test_bed(void **state) {
    (void)state;
    struct selvage_request request = request_for(SMALL_FRAME SMALL_PATTERN FREE_PATTERN);
    selvage_compilation *c = selvage_compile(&request);
    char *steps[2];
    struct selvage_text text = {NULL, 0};
    assert_int_equal(selvage_emit(c, 0, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
    steps[0] = copy_of(text);
    for (int form = SELVAGE_BED_TEXT; form <= SELVAGE_BED_PICTURE; form++) {
        char *plain = NULL, *even = NULL;
        for (int round = 0; round < 4; round++) {
            char **first = round % 2 == 0 ? &plain : &even;
            assert_int_equal(selvage_bed(c, 0, round % 2 == 1, (enum selvage_bed_form)form, &text),
                             SELVAGE_DONE);
            assert_int_equal(strlen(text.bytes), text.length);
            assert_true(text.length > 500);
            if (*first != NULL) assert_string_equal(text.bytes, *first);
            free(*first);
            *first = copy_of(text);
        }
        bool told = form != SELVAGE_BED_CSV && form != SELVAGE_BED_PICTURE;
        assert_int_equal(strcmp(plain, even) != 0, told);
        free(plain);
        free(even);
    }
    /* from then on it is shown; of another pattern it is not */
    assert_int_equal(selvage_emit(c, 0, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
    assert_non_null(strstr(text.bytes, "Load "));
    assert_int_equal(selvage_emit(c, 1, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
    assert_null(strstr(text.bytes, "Load "));
    assert_int_equal(selvage_feel(c, 1, &text), SELVAGE_DONE);
    assert_int_equal(selvage_emit(c, 1, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
    assert_non_null(strstr(text.bytes, "Load "));
    steps[1] = copy_of(text);
    assert_string_not_equal(steps[0], steps[1]);
    free(steps[0]);
    free(steps[1]);
    selvage_free(c);
}

/* What cannot be felt is told, with its place, and leaves the compilation as it was. */
static void test_bed_that_cannot_be(void **state) {
    (void)state;
    struct selvage_request request = request_for(SMALL_FRAME BROKEN_PATTERN SMALL_PATTERN);
    selvage_compilation *c = selvage_compile(&request);
    struct selvage_text text = {"untouched", 9};
    assert_int_equal(selvage_bed(c, 0, false, SELVAGE_BED_TEXT, &text), SELVAGE_NOT_READY);
    assert_int_equal(selvage_feel(c, 0, &text), SELVAGE_NOT_READY);
    assert_string_equal(text.bytes, "untouched");
    assert_int_equal(selvage_bed(c, 1, false, SELVAGE_BED_TEXT, &text), SELVAGE_DONE);
    selvage_free(c);
    request = request_for("frame odd { inside 186 mm wide, 325 mm long; outline ellipse\n"
                          "holes head M1..M3 C1 C2\nholes throat M1..M3 C4 C3\n"
                          "tie-off 2H, 3H, 2T, 3T; tension 20..28 lb\n"
                          "squeeze 5000 N per mm wide, 5 N per mm long }\n"
                          "pattern p for odd { one piece; tension 25 lb, last pulls +1 lb }\n");
    c = selvage_compile(&request);
    for (int round = 0; round < 2; round++) {
        assert_int_equal(selvage_bed(c, 0, true, SELVAGE_BED_JSON, &text), SELVAGE_UNFIT);
        assert_non_null(strstr(text.bytes, ":5:1: squeeze: "));
        assert_int_equal(selvage_emit(c, 0, SELVAGE_STEPS_TEXT, NULL, &text), SELVAGE_DONE);
    }
    selvage_free(c);
}

/* At least one way, at most five, the same ones first. */
static void test_how_many_ways(void **state) {
    (void)state;
    static const struct {
        int most;
        size_t found;
    } rows[] = {{1, 1}, {2, 2},  {5, 5},  {6, 5},       {1000, 5},
                {0, 1}, {-1, 1}, {-5, 1}, {INT_MIN, 1}, {INT_MAX, 5}};
    struct selvage_request request = request_for(SMALL_FRAME FREE_PATTERN);
    selvage_compilation *c = selvage_compile(&request);
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct selvage_text text = {"", 0};
        assert_int_equal(selvage_search(c, 0, rows[i].most, SELVAGE_COMPARE_JSON, &text),
                         SELVAGE_DONE);
        assert_int_equal(count_of(text.bytes, "\"aims\":"), rows[i].found);
        assert_non_null(strstr(text.bytes, "\"proved\":true"));
    }
    selvage_free(c);
}

static void test_search_that_cannot_be(void **state) {
    (void)state;
    struct selvage_request request =
        request_for(SMALL_FRAME BROKEN_PATTERN CLASH_PATTERN SMALL_PATTERN);
    struct selvage_text text = {"untouched", 9};
    selvage_compilation *c = selvage_compile(&request);
    for (size_t i = 0; i < 2; i++)
        assert_int_equal(selvage_search(c, i, 3, SELVAGE_COMPARE_TEXT, &text), SELVAGE_NOT_READY);
    assert_int_equal(selvage_search(c, 2, 3, SELVAGE_COMPARE_TEXT, &text), SELVAGE_DONE);
    selvage_free(c);
    request.pattern = "try"; /* the others are not compiled */
    c = selvage_compile(&request);
    assert_int_equal(selvage_search(c, 0, 3, SELVAGE_COMPARE_TEXT, &text), SELVAGE_NOT_READY);
    assert_int_equal(selvage_search(c, 2, 3, SELVAGE_COMPARE_TEXT, &text), SELVAGE_DONE);
    selvage_free(c);
    request = request_for(SMALL_FRAME FREE_PATTERN);
    request.findings_only = true; /* it is let go of */
    c = selvage_compile(&request);
    assert_int_equal(selvage_errors(c), 0);
    assert_int_equal(selvage_search(c, 0, 3, SELVAGE_COMPARE_TEXT, &text), SELVAGE_NOT_READY);
    selvage_free(c);
}

/* The list lives until the next output; and what is written after it is what was written before. */
static void test_life_of_a_search(void **state) {
    (void)state;
    struct selvage_request request = request_for(SMALL_FRAME FREE_PATTERN REST_PATTERN);
    selvage_compilation *c = selvage_compile(&request);
    char *outputs[SELVAGE_OUTPUTS], *expanded;
    struct selvage_text text, list;
    for (int i = 0; i < SELVAGE_OUTPUTS; i++) {
        assert_int_equal(selvage_emit(c, 0, (enum selvage_output)i, NULL, &text), SELVAGE_DONE);
        outputs[i] = strcpy(malloc(text.length + 1), text.bytes);
    }
    assert_int_equal(selvage_expand(c, &text), SELVAGE_DONE);
    expanded = strcpy(malloc(text.length + 1), text.bytes);
    for (int i = 0; i < SELVAGE_OUTPUTS; i++) {
        assert_int_equal(selvage_search(c, (size_t)i % 2, 5, SELVAGE_COMPARE_JSON, &list),
                         SELVAGE_DONE);
        char *copy = strcpy(malloc(list.length + 1), list.bytes);
        assert_int_equal(selvage_errors(c) + selvage_warnings(c), 0);
        assert_int_equal(selvage_first_code(c), 0);
        assert_true(selvage_pattern_ready(c, 0) && selvage_pattern_ready(c, 1));
        assert_string_equal(selvage_pattern_title(c, 1), "rest");
        assert_string_equal(list.bytes, copy);
        free(copy);
        assert_int_equal(selvage_emit(c, 0, (enum selvage_output)i, NULL, &text), SELVAGE_DONE);
        assert_string_equal(text.bytes, outputs[i]);
        free(outputs[i]);
    }
    assert_int_equal(selvage_search(c, 1, 5, SELVAGE_COMPARE_TEXT, &list), SELVAGE_DONE);
    assert_int_equal(selvage_expand(c, &text), SELVAGE_DONE);
    assert_string_equal(text.bytes, expanded);
    free(expanded);
    selvage_free(c);
}

static struct selvage_request request_on(struct meter *meter, bool layout_only, const char *words) {
    struct selvage_request request = request_for(words);
    request.get_memory = meter_get;
    request.put_memory = meter_put;
    request.memory_context = meter;
    request.layout_only = layout_only;
    return request;
}

/* The same for the layout alone. */
static void test_layout_without_memory(void **state) {
    (void)state;
    struct meter meter = {0};
    for (meter.fail_at = 1; meter.fail_at < 1000; meter.fail_at++) {
        meter.requests = 0;
        struct selvage_request request = request_on(&meter, true, good);
        selvage_compilation *c = selvage_compile(&request);
        struct selvage_text text;
        bool done = c != NULL && selvage_format(c, &text) == SELVAGE_DONE;
        selvage_free(c);
        assert_int_equal(meter.out, 0);
        bool failed = meter.requests >= meter.fail_at;
        assert_int_equal(done, !failed);
        if (!failed) return;
    }
    fail_msg("memory never sufficed");
}

/* Compiles, reports, and writes all there is; whether all went well. */
static bool all_goes_well(const struct selvage_request *request, size_t errors) {
    selvage_compilation *c = selvage_compile(request);
    if (c == NULL) return false;
    bool all = selvage_errors(c) == errors && !selvage_lacked_memory(c);
    enum selvage_result wanted = errors > 0 ? SELVAGE_NOT_READY : SELVAGE_DONE;
    struct selvage_text text;
    if (selvage_errors(c) > 0) assert_false(selvage_pattern_ready(c, 0));
    all &= selvage_report(c, SELVAGE_TEXT, SELVAGE_ADVICE, &text);
    all &= selvage_expand(c, &text) == wanted;
    for (int i = 0; i < SELVAGE_OUTPUTS; i++)
        if (i != SELVAGE_ORDER)
            all &= selvage_emit(c, 0, (enum selvage_output)i, NULL, &text) == wanted;
    for (int i = SELVAGE_COMPARE_TEXT; i <= SELVAGE_COMPARE_JSON; i++) {
        all &= selvage_compare(c, 0, c, 0, (enum selvage_comparison)i, &text) == wanted;
        all &= selvage_search(c, 0, 3, (enum selvage_comparison)i, &text) == wanted;
    }
    selvage_free(c);
    return all;
}

/* The Nth request for memory fails, for every N: nothing is lost, nothing crashes, and what went
 * wrong is told. libcgraph takes its memory elsewhere and is left out. */
static void test_memory_that_fails(void **state) {
    (void)state;
    static const struct {
        const char *text;
        size_t errors;
    } rows[] = {{good, 0},
                {SMALL_FRAME FREE_PATTERN, 0},
                {SMALL_FRAME REST_PATTERN, 0},
                {SMALL_FRAME CLASH_PATTERN, 1}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        struct meter meter = {0};
        bool failed = true;
        for (meter.fail_at = 1; failed; meter.fail_at++) {
            if (meter.fail_at == 10000) fail_msg("memory never sufficed");
            meter.requests = 0;
            struct selvage_request request = request_on(&meter, false, rows[i].text);
            bool all = all_goes_well(&request, rows[i].errors);
            assert_int_equal(meter.out, 0);
            failed = meter.requests >= meter.fail_at;
            assert_int_equal(all, !failed);
        }
    }
}

/* The order graph gives back a file of before only where it is what would be written. */
static void test_previous_order(void **state) {
    (void)state;
    struct selvage_request request = request_for(good);
    selvage_compilation *c = selvage_compile(&request);
    struct selvage_text text;
    assert_int_equal(selvage_emit(c, 0, SELVAGE_ORDER, NULL, &text), SELVAGE_DONE);
    size_t length = text.length;
    char *first = malloc(length + 1), *previous = malloc(length + 1);
    memcpy(first, text.bytes, length + 1);
    for (size_t i = 0; i < length; i += 7) {
        memcpy(previous, first, length + 1);
        previous[i] = previous[i] == 'x' ? 'y' : 'x';
        struct selvage_text before = {previous, length};
        assert_int_equal(selvage_emit(c, 0, SELVAGE_ORDER, &before, &text), SELVAGE_DONE);
        assert_int_equal(text.length, length);
        assert_memory_equal(text.bytes, first, length);
    }
    free(first);
    free(previous);
    selvage_free(c);
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_every_output),
        cmocka_unit_test(test_faulty_text_gives_findings_and_no_output),
        cmocka_unit_test(test_pages_are_found_by_code),
        cmocka_unit_test(test_used_files_come_from_the_caller),
        cmocka_unit_test(test_one_pattern_only),
        cmocka_unit_test(test_sides),
        cmocka_unit_test(test_layout),
        cmocka_unit_test(test_expansion),
        cmocka_unit_test(test_search),
        cmocka_unit_test(test_bed),
        cmocka_unit_test(test_bed_that_cannot_be),
        cmocka_unit_test(test_how_many_ways),
        cmocka_unit_test(test_search_that_cannot_be),
        cmocka_unit_test(test_life_of_a_search),
        cmocka_unit_test(test_layout_without_memory),
        cmocka_unit_test(test_memory_that_fails),
        cmocka_unit_test(test_previous_order),
    };
    return cmocka_run_group_tests_name("api", tests, NULL, NULL);
}
