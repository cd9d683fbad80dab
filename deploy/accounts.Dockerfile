# A Keycloak that is put together when the image is built, so that it can start on a file system
# that it cannot write to.
FROM quay.io/keycloak/keycloak:26.4.5
RUN /opt/keycloak/bin/kc.sh build --db=dev-file
