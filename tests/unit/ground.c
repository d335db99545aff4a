/* Arena, output, texts, paths, places, units. */
#include "unit/support.h"

#include "ground/nearest.h"
#include "ground/path.h"
#include "ground/rounding.h"
#include "ground/units.h"
#include "ground/utf8.h"

#include <math.h>
#include <stdlib.h>

/* ---- arena ---- */

static void test_memory_is_zeroed_and_apart(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    unsigned char *before = NULL;
    for (int i = 0; i < 5000; i++) {
        unsigned char *at = arena_alloc(arena, 100);
        assert_int_equal((uintptr_t)at % sizeof(long double), 0);
        for (int k = 0; k < 100; k++)
            assert_int_equal(at[k], 0);
        memset(at, 0xAB, 100);
        assert_true(before == NULL || before + 100 <= at || at + 100 <= before);
        before = at;
    }
    arena_free(arena);
}

static void test_limit_is_kept(void **state) {
    (void)state;
    struct arena *arena = arena_new(NULL, 1000);
    assert_non_null(arena_try(arena, 600));
    assert_null(arena_try(arena, 401));
    assert_int_equal(arena_failure(arena), ARENA_OVER_LIMIT);
    assert_non_null(arena_try(arena, 400));
    arena_free(arena);
}

static void test_rewind_uses_memory_again(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    arena_alloc(arena, 10);
    struct arena_mark mark = arena_mark(arena);
    void *first = arena_alloc(arena, 200000);
    arena_rewind(arena, mark);
    assert_int_equal(arena_used(arena), 10);
    void *second = arena_alloc(arena, 200000);
    assert_ptr_equal(first, second);
    arena_free(arena);
}

static void test_arrays_keep_what_they_hold(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    array_of(int) list = {0};
    for (int i = 0; i < 1000; i++)
        *array_add(arena, &list) = i;
    assert_int_equal(list.count, 1000);
    for (int i = 0; i < 1000; i++)
        assert_int_equal(list.at[i], i);
    arena_free(arena);
}

/* ---- output ---- */

static const char *fixed(struct arena *arena, double value, int decimals) {
    struct output out = output_to(arena);
    put_fixed(&out, value, decimals);
    return output_text(&out);
}

static void test_numbers(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    static const struct {
        double value;
        int decimals;
        const char *fixed, *decimal;
    } rows[] = {
        {0, 2, "0.00", "0"},
        {-0.0, 2, "0.00", "0"},
        {5.5, 2, "5.50", "5.5"},
        {-5.25, 1, "-5.3", "-5.3"},
        {0.004, 2, "0.00", "0"},
        {-0.004, 2, "0.00", "0"},
        {1000000, 0, "1000000", "1000000"},
        {99.995, 2, "100.00", "100"},
        {0.05, 1, "0.1", "0.1"},
        {4294967.295, 3, "4294967.295", "4294967.295"},
        {12345678901.25, 2, "12345678901.25", "12345678901.25"},
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        assert_string_equal(fixed(arena, rows[i].value, rows[i].decimals), rows[i].fixed);
        assert_string_equal(format_decimal(arena, rows[i].value, rows[i].decimals),
                            rows[i].decimal);
    }
    assert_string_equal(fixed(arena, INFINITY, 0), "9000000000000000");
    arena_free(arena);
}

/* Against the C library's own formatter, which knows no locale here. */
static void test_numbers_against_printf(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    char expected[64];
    for (int i = -4000; i < 4000; i++) {
        double value = i * 0.737 + 0.0001; /* never a tie */
        snprintf(expected, sizeof expected, "%.3f", value);
        assert_string_equal(fixed(arena, value, 3), expected);
    }
    arena_free(arena);
}

static void test_format(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    assert_string_equal(format(arena, "%s %d %zu %c %%", "a", -12, (size_t)34, 'b'),
                        "a -12 34 b %");
    assert_string_equal(
        format(arena, "[%4d][%-4s][%04X][%.*s][%5zu]", 7, "ab", 0xFEu, 2, "xyz", (size_t)3),
        "[   7][ab  ][00FE][xy][    3]");
    assert_string_equal(format(arena, "%d %d", INT32_MIN, INT32_MAX), "-2147483648 2147483647");
    char longer[600];
    memset(longer, 'x', sizeof longer - 1);
    longer[sizeof longer - 1] = '\0';
    assert_string_equal(format(arena, "%s", longer), longer);
    arena_free(arena);
}

static void test_output_that_fails_says_so(void **state) {
    (void)state;
    struct arena *arena = arena_new(NULL, 300);
    jmp_buf escape;
    volatile bool jumped = false;
    if (setjmp(escape) != 0) {
        jumped = true;
    } else {
        arena_set_escape(arena, &escape);
        struct output out = output_to(arena);
        for (int i = 0; i < 1000; i++)
            put(&out, "0123456789");
        assert_true(output_failed(&out));
        output_text(&out);
    }
    assert_true(jumped);
    arena_free(arena);
}

/* ---- texts ---- */

static void test_utf8(void **state) {
    (void)state;
    size_t length;
    assert_int_equal(utf8_decode("a", 1, &length), 'a');
    assert_int_equal(utf8_decode("\xC3\xA9", 2, &length), 0xE9);
    assert_int_equal(length, 2);
    assert_int_equal(utf8_decode("\xF0\x90\x90\x80", 4, &length), 0x10400);
    /* RFC 3629: no overlong forms, no surrogates, nothing beyond U+10FFFF, nothing cut short. */
    const char *const bad[] = {"\xC0\x80", "\xE0\x80\x80", "\xED\xA0\x80", "\xF4\x90\x80\x80",
                               "\x80",     "\xFF",         "\xC3("};
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        assert_int_equal(utf8_decode(bad[i], strlen(bad[i]), &length), UTF8_BAD);
    assert_int_equal(utf8_decode("\xE2\x82", 2, &length), UTF8_BAD);
    assert_int_equal(utf8_width("caf\xC3\xA9"), 4);
    assert_int_equal(utf8_width("\xE6\xBC\xA2\xE5\xAD\x97"), 4); /* two wide characters */
    assert_int_equal(utf8_width("e\xCC\x81"), 1);                /* a combining accent */
}

static void test_nearest(void **state) {
    (void)state;
    const char *const words[] = {"cross", "crosses", "mains", "throat"};
    assert_int_equal(edit_distance("kitten", "sitting"), 3);
    assert_int_equal(edit_distance("ab", "ba"), 1);
    assert_string_equal(nearest_of("croses", words, 4), "crosses");
    assert_string_equal(nearest_of("manis", words, 4), "mains");
    assert_null(nearest_of("xyzzy", words, 4));
}

static void test_paths(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    assert_string_equal(path_beside(arena, "a/b.slv", "c.slv"), "a/c.slv");
    assert_string_equal(path_beside(arena, "b.slv", "c.slv"), "c.slv");
    assert_string_equal(path_beside(arena, "a/b.slv", "../c.slv"), "c.slv");
    assert_string_equal(path_beside(arena, "a/b.slv", "./x//y/../c.slv"), "a/x/c.slv");
    assert_string_equal(path_beside(arena, "b.slv", "../../c.slv"), "../../c.slv");
    assert_string_equal(path_beside(arena, "../a/b.slv", "../c.slv"), "../c.slv");
    assert_string_equal(path_beside(arena, "a/b.slv", "/x/../c.slv"), "/c.slv");
    arena_free(arena);
}

static void test_places(void **state) {
    (void)state;
    OPEN_ARENA(arena);
    struct source_map map = source_map_in(arena);
    const char *text = "one\n\ttwo \xC3\xA9 x\r\nthree";
    source_add(&map, "first", "x", 1);
    struct source *source = source_add(&map, "second", text, strlen(text));
    uint32_t at = source->base + (uint32_t)(strchr(text, 'x') - text);
    struct source_place place = source_place(&map, at);
    assert_ptr_equal(place.source, source);
    assert_int_equal(place.line, 2);
    assert_int_equal(place.column, 8);   /* characters: tab, two, blank, e, blank, x */
    assert_int_equal(place.display, 15); /* tab stops of eight */
    size_t length;
    assert_memory_equal(source_line(&map, source, 2, &length), "\ttwo", 4);
    assert_int_equal(length, 9); /* without the carriage return */
    place = source_place(&map, source->base + (uint32_t)strlen(text));
    assert_int_equal(place.line, 3);
    assert_null(source_place(&map, 0).source);
    arena_free(arena);
}

/* ---- units: NIST Special Publication 811 (2008), appendix B; products exact ---- */

static void test_units(void **state) {
    (void)state;
    assert_true(NEWTON_PER_LB == 4.4482216152605); /* 0.45359237 kg x 9.80665 m/s2 */
    assert_true(unit_factor(UNIT_KG) == 9.80665);
    assert_true(unit_factor(UNIT_IN) == 25.4);
    static const struct {
        double pounds, newton;
    } rows[] = {{20, 88.96443230521},   {24, 106.757318766252},  {27, 120.1019836120335},
                {50, 222.411080763025}, {55, 244.6521888393275}, {60, 266.89329691563}};
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        assert_true(fabs(rows[i].pounds * unit_factor(UNIT_LB) - rows[i].newton) <
                    1e-12 * rows[i].newton);
    assert_true(fabs(unit_factor(UNIT_KG) / unit_factor(UNIT_LB) - 2.20462262184877580723) < 1e-14);
    assert_true(fabs(55 * NEWTON_PER_LB / NEWTON_PER_KG - 24.94758035) < 1e-8);
}

/* ---- rounding ---- */

static void test_round_to_sum(void **state) {
    (void)state;
    static const struct {
        double values[4];
        int64_t sum, rounded[4];
    } rows[] = {
        {{0.4, 0.4, 0.4, 0.8}, 2, {1, 0, 0, 1}},   {{2.5, 2.5, 0, 0}, 5, {3, 2, 0, 0}},
        {{10.6, -2.3, 0.2, 0}, 9, {11, -2, 0, 0}}, /* 8.5, rounded up */
        {{10.6, -2.7, 0.2, 0}, 8, {11, -3, 0, 0}}, {{7, 80, 450, 22}, 559, {7, 80, 450, 22}},
        {{0.1, 0, 0, 0}, 1, {1, 0, 0, 0}}, /* rounded up as a whole */
    };
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        int64_t rounded[4];
        round_to_sum(rows[i].values, rounded, 4, rows[i].sum);
        for (int k = 0; k < 4; k++)
            assert_int_equal(rounded[k], rows[i].rounded[k]);
    }
}

int main(void) {
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_memory_is_zeroed_and_apart),
        cmocka_unit_test(test_limit_is_kept),
        cmocka_unit_test(test_rewind_uses_memory_again),
        cmocka_unit_test(test_arrays_keep_what_they_hold),
        cmocka_unit_test(test_numbers),
        cmocka_unit_test(test_numbers_against_printf),
        cmocka_unit_test(test_format),
        cmocka_unit_test(test_output_that_fails_says_so),
        cmocka_unit_test(test_utf8),
        cmocka_unit_test(test_nearest),
        cmocka_unit_test(test_paths),
        cmocka_unit_test(test_places),
        cmocka_unit_test(test_units),
        cmocka_unit_test(test_round_to_sum),
    };
    return cmocka_run_group_tests_name("ground", tests, NULL, NULL);
}
