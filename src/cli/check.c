/* check: the findings of many files, each compiled by itself, some at once; printed in the order of
 * the files. */
#include "cli/job.h"
#include "cli/verbs.h"
#include "cli/walk.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

/* Files one job may be ahead of the next to be printed, for each job. */
enum { AHEAD = 16 };

/* What a file gave. */
struct result {
    bool there;
    char *path;
    char *text; /* its findings; NULL: none */
    size_t length, patterns, errors, warnings, changes;
    int first_code; /* 0: nothing was found */
    enum exit_status status;
    bool unread;
};

struct check {
    const struct arguments *arguments;
    pthread_mutex_t lock;
    pthread_cond_t printed_one;
    struct walk walk;
    struct result *ring;
    size_t ring_room, taken, printed; /* files, in their order */
    size_t files, unread, patterns, errors, warnings, changes;
    int first_code;                    /* of the first file with findings */
    bool any_printed, failed, stopped; /* stopped: no more files are taken */
    enum exit_status status;
};

/* ---- one file ---- */

static bool keep_text(struct result *result, struct selvage_text text) {
    if (text.length == 0) return true;
    result->text = malloc(text.length);
    if (result->text == NULL) return false;
    memcpy(result->text, text.bytes, text.length);
    result->length = text.length;
    return true;
}

static void judge_file(const struct arguments *arguments, struct job *job, struct result *result) {
    struct selvage_text text;
    size_t pattern, errors = selvage_errors(job->compilation);
    result->status = worse(result->status, errors > 0 ? EXIT_FINDINGS : EXIT_DONE);
    if (arguments->pattern != NULL)
        result->status = worse(result->status, job_find_pattern(job, arguments->pattern, &pattern));
    result->patterns = arguments->pattern != NULL ? 1 : selvage_patterns(job->compilation);
    result->errors = errors;
    result->warnings = selvage_warnings(job->compilation);
    result->first_code = selvage_first_code(job->compilation);
    if (!selvage_report(job->compilation, arguments->form, SELVAGE_ADVICE, &text) ||
        !keep_text(result, text))
        result->status = complain(job->path, "not enough memory");
}

/* Makes the safe changes; whether there were any, so that the file is to be judged anew. */
static bool mend_file(const struct job *job, struct result *result) {
    static const struct files none = {0};
    struct selvage_text mended;
    size_t changes = 0;
    if (!selvage_mend(job->compilation, &mended, &changes)) {
        result->status = complain(job->path, "not enough memory");
        return false;
    }
    if (changes == 0) return false;
    enum exit_status status = judge_written(job->path, file_write(&none, job->path, mended));
    result->status = worse(result->status, status);
    if (status == EXIT_DONE) result->changes += changes;
    return status == EXIT_DONE;
}

static void check_file(const struct arguments *arguments, struct memory *memory,
                       struct result *result) {
    struct job job;
    enum exit_status status = job_start(&job, arguments, memory, result->path);
    if (status == EXIT_DONE && arguments->fix && mend_file(&job, result)) {
        job_end(&job);
        status = job_start(&job, arguments, memory, result->path);
    }
    result->unread = status == EXIT_FILES;
    result->status = worse(result->status, status);
    if (status == EXIT_DONE) judge_file(arguments, &job, result);
    job_end(&job);
}

/* ---- many ---- */

static bool print_result(struct check *check, const struct result *result) {
    bool listed = check->arguments->form == SELVAGE_JSON || check->arguments->form == SELVAGE_SARIF;
    bool sound = true;
    if (result->changes > 0 && !listed)
        sound = printf("%s: %zu change%s made\n", result->path, result->changes,
                       plural(result->changes)) > 0;
    if (result->length > 0 && listed && check->any_printed) sound = fputs(",\n", stdout) >= 0;
    if (result->length == 0) return sound;
    check->any_printed = true;
    return sound && fwrite(result->text, 1, result->length, stdout) == result->length;
}

static void count_result(struct check *check, const struct result *result) {
    check->files++;
    check->unread += result->unread;
    check->patterns += result->patterns;
    check->errors += result->errors;
    check->warnings += result->warnings;
    check->changes += result->changes;
    if (check->first_code == 0) check->first_code = result->first_code;
    check->status = worse(check->status, result->status);
}

/* Prints what is ready, in order. The lock is held. */
static void print_ready(struct check *check) {
    for (;;) {
        struct result *result = &check->ring[check->printed % check->ring_room];
        if (!result->there) return;
        if (!check->failed && !print_result(check, result)) {
            check->failed = true;
            check->status = worse(check->status, complain("standard output", strerror(errno)));
        }
        count_result(check, result);
        free(result->path);
        free(result->text);
        *result = (struct result){0};
        check->printed++;
        pthread_cond_broadcast(&check->printed_one);
    }
}

/* The next file's place in the order; false where there are no more. The lock is held. */
static bool take_file(struct check *check, struct result *result, size_t *place) {
    while (check->taken - check->printed >= check->ring_room)
        pthread_cond_wait(&check->printed_one, &check->lock);
    int error;
    char *path = walk_next(&check->walk, &error);
    if (path == NULL && error != 0 && !check->stopped)
        check->status = worse(check->status, complain("check", strerror(error)));
    check->stopped |= path == NULL;
    if (check->stopped) {
        free(path);
        return false;
    }
    *result = (struct result){.path = path};
    if (error != 0) {
        result->status = complain(path, strerror(error));
        result->unread = true;
    }
    *place = check->taken++;
    return true;
}

static void *work(void *context) {
    struct check *check = context;
    struct memory memory;
    struct result result;
    size_t place;
    memory_open(&memory, ROOM_TO_CHECK);
    pthread_mutex_lock(&check->lock);
    while (take_file(check, &result, &place)) {
        pthread_mutex_unlock(&check->lock);
        if (!result.unread) check_file(check->arguments, &memory, &result);
        pthread_mutex_lock(&check->lock);
        result.there = true;
        check->ring[place % check->ring_room] = result;
        print_ready(check);
    }
    pthread_mutex_unlock(&check->lock);
    memory_close(&memory);
    return NULL;
}

/* Works with as many jobs as asked for; this thread is one of them. */
static void work_all(struct check *check) {
    int more = check->arguments->jobs - 1, started = 0;
    pthread_t *threads = more > 0 ? malloc((size_t)more * sizeof *threads) : NULL;
    while (threads != NULL && started < more &&
           pthread_create(&threads[started], NULL, work, check) == 0)
        started++;
    work(check);
    for (int i = 0; i < started; i++)
        pthread_join(threads[i], NULL);
    free(threads);
}

static void print_head(enum selvage_form form) {
    const char *part;
    for (size_t i = 0; (part = selvage_report_head(form, i)) != NULL; i++)
        fputs(part, stdout);
}

static void print_summary(const struct check *check) {
    printf("%zu file%s, ", check->files, plural(check->files));
    if (check->unread > 0) printf("%zu not read, ", check->unread);
    printf("%zu pattern%s: %zu error%s, %zu warning%s\n", check->patterns, plural(check->patterns),
           check->errors, plural(check->errors), check->warnings, plural(check->warnings));
    if (check->first_code != 0) printf("selvage explain SV-%d says more\n", check->first_code);
}

enum exit_status run_check(const struct arguments *arguments) {
    struct check check = {.arguments = arguments,
                          .lock = PTHREAD_MUTEX_INITIALIZER,
                          .printed_one = PTHREAD_COND_INITIALIZER,
                          .ring_room = (size_t)arguments->jobs * AHEAD};
    check.ring = calloc(check.ring_room, sizeof *check.ring);
    if (check.ring == NULL) return complain("check", "not enough memory");
    walk_open(&check.walk, arguments->files);
    print_head(arguments->form);
    work_all(&check);
    walk_close(&check.walk);
    free(check.ring);
    bool listed = arguments->form == SELVAGE_JSON || arguments->form == SELVAGE_SARIF;
    fputs(selvage_report_tail(arguments->form), stdout);
    if (!listed) print_summary(&check);
    if (!check.failed && fflush(stdout) != 0)
        return worse(check.status, complain("standard output", strerror(errno)));
    return check.status;
}
