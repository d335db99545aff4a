/* Loaded before the C library (LD_PRELOAD): lets the request for memory of the number FAIL_AT fail,
 * with FAIL_ON set every one from there on. Tells at the end how many requests there were, in the
 * file that FAIL_COUNT names, so that the test knows when it has had them all. */
#define _GNU_SOURCE
#include <errno.h>
#include <fcntl.h>
#include <stdatomic.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* The C library's own, by the names it gives them for such a case. */
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t count, size_t size);
extern void *__libc_realloc(void *memory, size_t size);

static atomic_long requests;
static long fail_at;
static int from_there_on;

__attribute__((constructor)) static void begin(void) {
    const char *at = getenv("FAIL_AT");
    fail_at = at != NULL ? atol(at) : 0;
    from_there_on = getenv("FAIL_ON") != NULL;
    requests = 0;
}

__attribute__((destructor)) static void end(void) {
    const char *path = getenv("FAIL_COUNT");
    int file = path != NULL ? open(path, O_WRONLY | O_CREAT | O_TRUNC, 0666) : -1;
    if (file < 0) return;
    char digits[24];
    size_t at = sizeof digits;
    for (long left = requests; left > 0 || at == sizeof digits; left /= 10)
        digits[--at] = (char)('0' + left % 10);
    if (write(file, digits + at, sizeof digits - at) < 0) _exit(99);
    close(file);
}

static int fails(void) {
    long now = ++requests;
    int failing = fail_at > 0 && (now == fail_at || (from_there_on && now > fail_at));
    if (failing) errno = ENOMEM;
    return failing;
}

void *malloc(size_t size) { return fails() ? NULL : __libc_malloc(size); }
void *calloc(size_t count, size_t size) { return fails() ? NULL : __libc_calloc(count, size); }
void *realloc(void *old, size_t size) { return fails() ? NULL : __libc_realloc(old, size); }
