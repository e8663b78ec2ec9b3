# What R makes of the time of release and the time out in the invented table
# releases.csv; the Go tests import the table, make the season report of it and compare.
# R 4.2.2 (Debian r-base-core 4.2.2.20221110-2), survival 3.5-3 (r-cran-survival 3.5-3-1).
# Run in this folder: Rscript liberty.R > liberty.out
library(survival)
d <- read.csv("releases.csv", na.strings = "")
names(d) <- c("tag", "day", "species", "ft", "inch", "method", "later", "inch2")
d$day <- as.Date(d$day)
d$later <- as.Date(d$later)
d$m <- d$ft * 0.3048
d$band <- cut(d$m, c(0, 20, 30, 40, 50, 60, 80, 100, 150, Inf))
d$month <- format(d$day, "%Y-%m")
d$method <- c("sent down" = "recompressed", surface = "surface", vented = "vented")[d$method]
end <- max(d$day, d$later, na.rm = TRUE)
d <- d[!is.na(d$method) & as.numeric(end - d$day) >= 7, ]
d$out <- as.numeric(d$later - d$day)
d$seen <- !is.na(d$out) & d$out >= 1
d$out <- ifelse(d$seen, d$out, as.numeric(end - d$day))
say <- function(path, ...) cat(path, sprintf("%.15g", c(...)), "\n")

# Mantel-Haenszel over month and depth band; the ratio by Greenland & Robins 1985.
compared <- function(at, one, other) {
  k <- d[!is.na(d$band), ]
  by <- interaction(k$band, k$month, drop = TRUE)
  f <- function(what, m) as.vector(tapply(what & k$method == m, by, sum))
  a <- f(k$seen, one); na <- f(TRUE, one); b <- f(k$seen, other); nb <- f(TRUE, other)
  use <- na > 0 & nb > 0
  a <- a[use]; na <- na[use]; b <- b[use]; nb <- nb[use]; n <- na + nb
  say(paste0(at, ".strata_used"), sum(use)); say(paste0(at, ".fish"), sum(n))
  top <- sum(a * nb / n); bottom <- sum(b * na / n)
  se <- sqrt(sum(((a + b) * na * nb - a * b * n) / n^2) / (top * bottom))
  say(paste0(at, ".mantel_haenszel_ratio.value"), top / bottom)
  say(paste0(at, ".mantel_haenszel_ratio.range"), top / bottom * exp(c(-1, 1) * qnorm(0.975) * se))
  t <- mantelhaen.test(array(rbind(a, b, na - a, nb - b), c(2, 2, length(a))), correct = FALSE)
  say(paste0(at, ".mantel_haenszel_odds_ratio.value"), t$estimate)
  say(paste0(at, ".mantel_haenszel_odds_ratio.range"), t$conf.int)
  say(paste0(at, ".cmh_x2"), t$statistic); say(paste0(at, ".cmh_p"), t$p.value)
  t$p.value
}
pairs <- list(c("recompressed", "surface"), c("vented", "surface"), c("recompressed", "vented"))
p <- sapply(0:2, function(i) compared(paste0("tags.counted.comparisons.", i, ".within_depth_and_month"), pairs[[i + 1]][1], pairs[[i + 1]][2]))
for (i in 0:2) say(paste0("tags.counted.comparisons.", i, ".holm_p"), p.adjust(p, "holm")[i + 1])

k <- d[!is.na(d$m), ]
k$method <- relevel(factor(k$method), "surface")
k$z <- k$m / 10
# The contrasts of the pairs and of depth, of coefficients and their robust covariance.
effects <- function(at, b, v) {
  w <- list(c(recompressed = 1, vented = 0, z = 0), c(recompressed = 0, vented = 1, z = 0), c(recompressed = 1, vented = -1, z = 0), c(recompressed = 0, vented = 0, z = 1))
  for (i in 0:3) {
    x <- w[[i + 1]]; value <- sum(x * b); se <- sqrt(c(x %*% v %*% x))
    say(paste0(at, ".effects.", i, ".value"), exp(value))
    say(paste0(at, ".effects.", i, ".range"), exp(value + c(-1, 1) * qnorm(0.975) * se))
    say(paste0(at, ".effects.", i, ".p"), 2 * pnorm(-abs(value / se)))
  }
}
names3 <- c("methodrecompressed", "methodvented", "z")

# Logistic regression with a constant for each month; days as clusters, by the plain
# sandwich over the sums of each day's scores (Huber 1967), no correction.
some <- ave(k$seen, k$month, FUN = mean)
l <- k[some > 0 & some < 1, ]
g <- glm(seen ~ 0 + month + method + z, binomial, l, control = glm.control(epsilon = 1e-15, maxit = 60))
x <- model.matrix(g)
bread <- solve(t(x) %*% (x * fitted(g) * (1 - fitted(g))))
meat <- crossprod(rowsum(x * (l$seen - fitted(g)), as.character(l$day)))
v <- bread %*% meat %*% bread
say("tags.counted.held.logistic.fish", nrow(l)); say("tags.counted.held.logistic.days", length(unique(l$day)))
effects("tags.counted.held.logistic", coef(g)[names3], v[names3, names3])

s <- coxph(Surv(out, seen) ~ method + z + strata(month), k, cluster = day, ties = "efron", control = coxph.control(eps = 1e-11, iter.max = 60))
say("tags.counted.held.cox.fish", s$n); say("tags.counted.held.cox.seen", s$nevent)
v <- vcov(s); dimnames(v) <- list(names(coef(s)), names(coef(s)))
effects("tags.counted.held.cox", coef(s)[names3], v[names3, names3])
