# An invented tag-release table of 5,000 fish, and what R makes of it; the Go tests
# import the table, make the season report of it and compare with what this prints.
# R 4.2.2 (Debian r-base-core 4.2.2.20221110-2), metafor 3.8-1.
# Run in this folder: Rscript releases.R > releases.out
# Fish, water and people are made up: deep fish come back less, fish sent down more
# often than those let go at the top, and fish from deep are sent down more, so that
# the plain ratio and the one within depths differ.
suppressMessages(library(metafor))
set.seed(20240601, kind = "Mersenne-Twister", sample.kind = "Rejection")

n <- 5000
depth_ft <- round(exp(rnorm(n, log(130), 0.45)))
method <- ifelse(runif(n) < plogis((depth_ft - 150) / 60), "sent down", ifelse(runif(n) < 0.35, "vented", "surface"))
day <- as.Date("2024-03-01") + sample(0:239, n, replace = TRUE)
length_in <- round(rnorm(n, 19, 3), 1)
logit <- -1.3 - 0.008 * depth_ft + 0.55 * (method == "sent down") + 0.15 * (method == "vented")
again <- runif(n) < plogis(logit)
days <- round(rexp(n, 1 / 60))
later <- day + days
again <- again & later <= as.Date("2024-12-15")
length_again <- round(length_in + days * 0.006 + rnorm(n, 0, 0.3), 1)
species <- sample(c("red grouper", "gag", "red snapper"), n, replace = TRUE, prob = c(0.5, 0.2, 0.3))
depth_ft[sample(n, 120)] <- NA
length_in[sample(n, 200)] <- NA
method[sample(n, 40)] <- NA
d <- data.frame(
  "Tag no." = sprintf("TG%05d", 1:n), "Date tagged" = day, "Species" = species, "Depth (ft)" = depth_ft,
  "Fork length (in)" = length_in, "Release method" = method,
  "Recapture date" = ifelse(again, format(later), ""), "Recapture fork length (in)" = ifelse(again, length_again, NA), check.names = FALSE)
write.csv(d, "releases.csv", row.names = FALSE, quote = FALSE, na = "")

# From here on only the file counts.
d <- read.csv("releases.csv", na.strings = "")
names(d) <- c("tag", "day", "species", "ft", "inch", "method", "later", "inch2")
d$day <- as.Date(d$day)
d$later <- as.Date(d$later)
d$m <- d$ft * 0.3048
d$band <- cut(d$m, c(0, 20, 30, 40, 50, 60, 80, 100, 150, Inf))
middle <- c(10, 25, 35, 45, 55, 70, 90, 125, 175)
d$days <- as.numeric(d$later - d$day)
ours <- c("sent down" = "recompressed", surface = "surface", vented = "vented")
d$method <- ours[d$method]

# Each line is the path of figures in the report's datasheet, and the figures.
say <- function(path, ...) cat(path, sprintf("%.15g", c(...)), "\n")

say("released", sum(!is.na(d$method)))
for (i in 0:2) say(paste0("methods.", i, ".fish"), sum(d$method == c("recompressed", "surface", "vented")[i + 1], na.rm = TRUE))
by <- table(d$species[!is.na(d$method)])
by <- sort(by, decreasing = TRUE)
for (i in seq_along(by)) say(paste0("species.", i - 1, ".released"), by[i])
by <- table(d$band[!is.na(d$method)])
by <- by[by > 0]
for (i in seq_along(by)) say(paste0("depths.", i - 1, ".released"), by[i])
by <- table(format(d$day[!is.na(d$method)], "%Y-%m"))
for (i in seq_along(by)) say(paste0("months.", i - 1, ".released"), by[i])

score_interval <- function(x1, n1, x2, n2) {
  chi <- function(r) {
    h <- r * (n1 + x2) + x1 + n2
    p2 <- 2 * (x1 + x2) / (h + sqrt(h^2 - 4 * r * (n1 + n2) * (x1 + x2)))
    p1 <- r * p2
    (x1 - n1 * p1)^2 / (n1 * p1 * (1 - p1)) + (x2 - n2 * p2)^2 / (n2 * p2 * (1 - p2)) - qchisq(0.95, 1)
  }
  r <- (x1 / n1) / (x2 / n2)
  c(uniroot(chi, c(r / 20, r), tol = 1e-15)$root, uniroot(chi, c(r, r * 20), tol = 1e-15)$root)
}
mid_p <- function(x, n) {
  tail <- function(p) pbinom(x - 1, n, p, lower.tail = FALSE) - dbinom(x, n, p) / 2
  c(uniroot(function(p) tail(p) - 0.025, c(0, x / n), tol = 1e-15)$root, uniroot(function(p) tail(p) - 0.975, c(x / n, 1), tol = 1e-15)$root)
}

compare <- function(at, d, one, other) {
  x1 <- sum(d$seen & d$method == one); n1 <- sum(d$method == one)
  x2 <- sum(d$seen & d$method == other); n2 <- sum(d$method == other)
  say(paste0(at, ".a.x"), x1); say(paste0(at, ".a.n"), n1)
  say(paste0(at, ".b.x"), x2); say(paste0(at, ".b.n"), n2)
  p1 <- x1 / n1; p2 <- x2 / n2
  say(paste0(at, ".ratio"), p1 / p2)
  say(paste0(at, ".koopman"), score_interval(x1, n1, x2, n2))
  say(paste0(at, ".katz"), p1 / p2 * exp(c(-1, 1) * qnorm(0.975) * sqrt(1 / x1 - 1 / n1 + 1 / x2 - 1 / n2)))
  say(paste0(at, ".difference"), p1 - p2)
  w1 <- prop.test(x1, n1, correct = FALSE)$conf.int; w2 <- prop.test(x2, n2, correct = FALSE)$conf.int
  say(paste0(at, ".newcombe"), p1 - p2 - sqrt((p1 - w1[1])^2 + (w2[2] - p2)^2), p1 - p2 + sqrt((w1[2] - p1)^2 + (p2 - w2[1])^2))
  cells <- matrix(c(x1, n1 - x1, x2, n2 - x2), 2, byrow = TRUE)
  say(paste0(at, ".fisher_p"), fisher.test(cells)$p.value)
  chi <- chisq.test(cells, correct = FALSE)
  say(paste0(at, ".pearson_x2"), chi$statistic); say(paste0(at, ".pearson_p"), chi$p.value)
  strata(paste0(at, ".within_depth_bands"), d, d$band, one, other)
  strata(paste0(at, ".within_depth_bands_of_one_species"), d, interaction(d$band, d$species, drop = TRUE), one, other)
}

strata <- function(at, d, by, one, other) {
  by <- droplevels(by)
  f <- function(what, m) as.vector(tapply(what & d$method == m, by, sum, na.rm = TRUE))
  a <- f(d$seen, one); na <- f(TRUE, one); b <- f(d$seen, other); nb <- f(TRUE, other)
  use <- na > 0 & nb > 0
  a <- a[use]; na <- na[use]; b <- b[use]; nb <- nb[use]
  say(paste0(at, ".strata_used"), sum(use))
  say(paste0(at, ".fish"), sum(na + nb))
  m <- rma.mh(ai = a, n1i = na, ci = b, n2i = nb, measure = "RR")
  say(paste0(at, ".mantel_haenszel_ratio.value"), exp(c(m$beta)))
  say(paste0(at, ".mantel_haenszel_ratio.range"), exp(m$ci.lb), exp(m$ci.ub))
  say(paste0(at, ".mantel_haenszel_ratio.se"), m$se)
  m <- rma.mh(ai = a, n1i = na, ci = b, n2i = nb, measure = "RD")
  say(paste0(at, ".mantel_haenszel_difference.value"), c(m$beta))
  say(paste0(at, ".mantel_haenszel_difference.se"), m$se)
  cells <- array(rbind(a, b, na - a, nb - b), c(2, 2, length(a)))
  t <- mantelhaen.test(cells, correct = FALSE)
  say(paste0(at, ".mantel_haenszel_odds_ratio.value"), t$estimate)
  say(paste0(at, ".mantel_haenszel_odds_ratio.range"), t$conf.int)
  say(paste0(at, ".cmh_x2"), t$statistic); say(paste0(at, ".cmh_p"), t$p.value)
  t <- mantelhaen.test(cells)
  say(paste0(at, ".cmh_corrected_x2"), t$statistic); say(paste0(at, ".cmh_corrected_p"), t$p.value)
  m <- rma.mh(ai = a, n1i = na, ci = b, n2i = nb, measure = "OR")
  say(paste0(at, ".breslow_day_x2"), m$BD); say(paste0(at, ".breslow_day_p"), m$BDp)
  say(paste0(at, ".tarone_x2"), m$TA); say(paste0(at, ".tarone_p"), m$TAp)
}

trend <- function(at, d) {
  k <- d[!is.na(d$band), ]
  x <- as.vector(tapply(k$seen, k$band, sum, default = 0)); n <- as.vector(table(k$band))
  s <- prop.trend.test(x[n > 0], n[n > 0], middle[n > 0])
  slope <- lm(I(x / n) ~ middle, weights = n, data = data.frame(x, n, middle)[n > 0, ])
  say(paste0(at, ".z"), sign(coef(slope)[2]) * sqrt(s$statistic)); say(paste0(at, ".p"), s$p.value)
  say(paste0(at, ".slope_per_m"), coef(slope)[2])
}

recaptures <- function(at, d) {
  for (i in 0:2) {
    k <- d$seen[d$method == c("recompressed", "surface", "vented")[i + 1]]
    x <- sum(k); n <- length(k)
    rate <- paste0(at, ".rates.", i)
    say(paste0(rate, ".x"), x); say(paste0(rate, ".n"), n); say(paste0(rate, ".rate"), x / n)
    say(paste0(rate, ".wilson"), prop.test(x, n, correct = FALSE)$conf.int)
    say(paste0(rate, ".wilson_corrected"), prop.test(x, n)$conf.int)
    say(paste0(rate, ".clopper_pearson"), binom.test(x, n)$conf.int)
    say(paste0(rate, ".jeffreys"), qbeta(c(0.025, 0.975), x + 0.5, n - x + 0.5))
    say(paste0(rate, ".mid_p"), mid_p(x, n))
    z <- qnorm(0.975); p <- (x + z^2 / 2) / (n + z^2)
    say(paste0(rate, ".agresti_coull"), p + c(-1, 1) * z * sqrt(p * (1 - p) / (n + z^2)))
  }
  compare(paste0(at, ".comparisons.0"), d, "recompressed", "surface")
  compare(paste0(at, ".comparisons.1"), d, "vented", "surface")
  compare(paste0(at, ".comparisons.2"), d, "recompressed", "vented")
  trend(paste0(at, ".trends_with_depth.0"), d)
  for (i in 1:3) trend(paste0(at, ".trends_with_depth.", i), d[d$method == c("recompressed", "surface", "vented")[i], ])
  k <- d[!is.na(d$m), ]
  k$method <- relevel(factor(k$method), "surface")
  g <- glm(seen ~ method + I(m / 10), binomial, k, control = glm.control(epsilon = 1e-15, maxit = 50))
  s <- summary(g)$coefficients[c("methodvented", "methodrecompressed", "I(m/10)"), ]
  say(paste0(at, ".logistic.fish"), nrow(k))
  for (i in 1:3) {
    say(paste0(at, ".logistic.odds_ratios.", i - 1, ".value"), exp(s[i, 1]))
    say(paste0(at, ".logistic.odds_ratios.", i - 1, ".range"), exp(s[i, 1] + c(-1, 1) * qnorm(0.975) * s[i, 2]))
    say(paste0(at, ".logistic.odds_ratios.", i - 1, ".p"), s[i, 4])
  }
}

# Before the rule: every tagged fish, seen again at any time.
every <- d[!is.na(d$method), ]
every$seen <- !is.na(every$later)
say("tags.fish_tagged", nrow(d))
recaptures("tags.all", every)
# By the rule: at large for seven days before the end of the log, seen on a later day.
end <- max(d$day, d$later, na.rm = TRUE)
counts <- every[as.numeric(end - every$day) >= 7, ]
counts$seen <- counts$seen & counts$days >= 1
recaptures("tags.counted", counts)

spread <- function(at, x) {
  say(paste0(at, ".n"), length(x))
  q <- quantile(x, names = FALSE)
  for (i in 1:5) say(paste0(at, ".", c("least", "lower_quartile", "median", "upper_quartile", "most")[i]), q[i])
  say(paste0(at, ".mean"), mean(x))
}
again <- d[!is.na(d$later) & d$days >= 1, ]
spread("tags.days_at_liberty", again$days)
cm <- (again$inch2 - again$inch) * 2.54
# The report leaves out fish that shrank by more than 2 cm or 5 %.
cm <- cm[!is.na(cm) & cm >= -pmax(2, 0.05 * again$inch * 2.54)]
spread("tags.growth_cm", cm)
