/* JSON by yajl. */
#include "ground/json.h"

#include <string.h>
#include <yajl/yajl_gen.h>

/* yajl writes to what it asked for without a look whether it got it. Jumping out of it is sound: it
 * holds nothing but what lies in the arena. */
static void *get_memory(void *arena, size_t size) { return arena_alloc(arena, size); }
static void put_memory(void *arena, void *memory) {
    (void)arena;
    (void)memory;
}

/* yajl grows nothing while its text goes straight out. */
static void *grow_memory(void *arena, void *memory, size_t size) {
    (void)memory;
    return arena_alloc(arena, size);
}

/* Takes what yajl writes, and breaks lines before what begins one; a comma stays on its line. */
static void write_part(void *context, const char *bytes, size_t length) {
    struct json *json = context;
    bool comma = length == 1 && bytes[0] == ',';
    if (json->new_line && !comma) {
        put_char(json->out, '\n');
        put_repeat(json->out, ' ', (size_t)json->depth * 2);
        json->new_line = false;
    }
    put_bytes(json->out, bytes, length);
}

void json_begin(struct json *json, struct output *out) {
    yajl_alloc_funcs memory = {get_memory, grow_memory, put_memory, out->arena};
    json->out = out;
    json->depth = 0;
    json->new_line = false;
    json->gen = yajl_gen_alloc(&memory);
    yajl_gen_config(json->gen, yajl_gen_print_callback, write_part, json);
}

void json_end(struct json *json) { yajl_gen_free(json->gen); }

void json_text(struct json *json, const char *text) {
    yajl_gen_string(json->gen, (const unsigned char *)text, strlen(text));
}

void json_key(struct json *json, const char *key) {
    if (key != NULL) json_text(json, key);
}

void json_string(struct json *json, const char *key, const char *value) {
    json_key(json, key);
    json_text(json, value);
}

void json_given(struct json *json, const char *key, const char *value) {
    if (value != NULL) json_string(json, key, value);
}

void json_int(struct json *json, const char *key, long long value) {
    json_key(json, key);
    yajl_gen_integer(json->gen, value);
}

void json_real(struct json *json, const char *key, double value) {
    char store[40];
    struct output digits = {.arena = json->out->arena, .at = store, .room = sizeof store};
    put_decimal(&digits, value, 3);
    json_key(json, key);
    yajl_gen_number(json->gen, digits.at, digits.length);
}

void json_bool(struct json *json, const char *key, bool value) {
    json_key(json, key);
    yajl_gen_bool(json->gen, value);
}

void json_null(struct json *json) { yajl_gen_null(json->gen); }

void json_open(struct json *json, const char *key) {
    json_key(json, key);
    yajl_gen_map_open(json->gen);
}

void json_close(struct json *json) { yajl_gen_map_close(json->gen); }

void json_open_list(struct json *json, const char *key) {
    json_key(json, key);
    yajl_gen_array_open(json->gen);
}

void json_close_list(struct json *json) { yajl_gen_array_close(json->gen); }

void json_line(struct json *json) { json->new_line = true; }

void json_open_rows(struct json *json, const char *key) {
    json_line(json);
    json_open_list(json, key);
    json->depth++;
}

void json_open_row(struct json *json) {
    json_line(json);
    json_open(json, NULL);
}

void json_close_rows(struct json *json) {
    json->depth--;
    json_line(json);
    json_close_list(json);
}

void json_begin_text(struct json *json, struct output *out, const char *schema) {
    json_begin(json, out);
    json_open(json, NULL);
    json->depth = 1;
    json_line(json);
    json_string(json, "schema", schema);
}

void json_end_text(struct json *json) {
    json->depth = 0;
    json_line(json);
    json_close(json);
    put_char(json->out, '\n');
    json_end(json);
}
