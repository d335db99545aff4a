/* JSON into an output. yajl sees to commas, nesting and escapes, and is known to json.c alone; this
 * adds where lines break and how numbers look. */
#ifndef SELVAGE_GROUND_JSON_H
#define SELVAGE_GROUND_JSON_H

#include "ground/output.h"

struct json {
    struct output *out;
    struct yajl_gen_t *gen;
    int depth;     /* of the lines, two spaces each */
    bool new_line; /* what comes next begins a line */
};

/* Where there is no memory they jump, as an output does; no foreign object may be open. */
void json_begin(struct json *json, struct output *out);
void json_end(struct json *json);

/* The same for a whole text: one object, with its schema and a line for each member. */
void json_begin_text(struct json *json, struct output *out, const char *schema);
void json_end_text(struct json *json);

/* Every `key` may be NULL: in a list. */
void json_key(struct json *json, const char *key);
void json_text(struct json *json, const char *text);
void json_string(struct json *json, const char *key, const char *value);
void json_given(struct json *json, const char *key, const char *value); /* nothing for NULL */
void json_int(struct json *json, const char *key, long long value);
void json_real(struct json *json, const char *key, double value); /* to a thousandth */
void json_bool(struct json *json, const char *key, bool value);
void json_null(struct json *json);
void json_open(struct json *json, const char *key);
void json_close(struct json *json);
void json_open_list(struct json *json, const char *key);
void json_close_list(struct json *json);

/* What comes next begins a line of its own. */
void json_line(struct json *json);

/* A list with a line for each object in it. */
void json_open_rows(struct json *json, const char *key);
void json_open_row(struct json *json);
void json_close_rows(struct json *json);

#endif
