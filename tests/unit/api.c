/* The public functions: as another program uses them. */
#include "unit/support.h"

#include <stdlib.h>

static const char good[] = SMALL_FRAME SMALL_PATTERN;

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
    struct selvage_request request =
        request_for(SMALL_FRAME "pattern broken for small { one piece; short tie 2T }\n" SMALL_PATTERN);
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
    request = request_for(SMALL_FRAME SMALL_PATTERN "pattern broken for small { one piece; short tie 2T }\n");
    c = selvage_compile(&request);
    assert_int_equal(selvage_expand(c, &text), SELVAGE_NOT_READY);
    selvage_free(c);
}

static struct selvage_request request_on(struct meter *meter, bool layout_only) {
    struct selvage_request request = request_for(good);
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
        struct selvage_request request = request_on(&meter, true);
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

/* The Nth request for memory fails, for every N: nothing is lost, nothing crashes, and what went
 * wrong is told. libcgraph takes its memory elsewhere and is left out. */
static void test_memory_that_fails(void **state) {
    (void)state;
    struct meter meter = {0};
    for (meter.fail_at = 1; meter.fail_at < 10000; meter.fail_at++) {
        meter.requests = 0;
        struct selvage_request request = request_on(&meter, false);
        selvage_compilation *c = selvage_compile(&request);
        bool all = c != NULL && selvage_errors(c) == 0;
        if (c != NULL) {
            struct selvage_text text;
            if (selvage_errors(c) > 0) assert_false(selvage_pattern_ready(c, 0));
            all &= selvage_report(c, SELVAGE_TEXT, SELVAGE_ADVICE, &text);
            all &= selvage_expand(c, &text) == SELVAGE_DONE;
            for (int i = 0; i < SELVAGE_OUTPUTS; i++)
                if (i != SELVAGE_ORDER)
                    all &= selvage_emit(c, 0, (enum selvage_output)i, NULL, &text) == SELVAGE_DONE;
            for (int i = SELVAGE_COMPARE_TEXT; i <= SELVAGE_COMPARE_JSON; i++)
                all &=
                    selvage_compare(c, 0, c, 0, (enum selvage_comparison)i, &text) == SELVAGE_DONE;
        }
        selvage_free(c);
        assert_int_equal(meter.out, 0);
        bool failed = meter.requests >= meter.fail_at;
        assert_int_equal(all, !failed);
        if (!failed) return;
    }
    fail_msg("memory never sufficed");
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
        cmocka_unit_test(test_layout_without_memory),
        cmocka_unit_test(test_memory_that_fails),
        cmocka_unit_test(test_previous_order),
    };
    return cmocka_run_group_tests_name("api", tests, NULL, NULL);
}
